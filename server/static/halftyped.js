// What is half typed on a card, kept in this browser: one entry for each card and each person who writes.

const PREFIX = "lowshelf:card:";
const NOT_KEPT = ["form_token", "looked", "preview"];

/** Under which name the half-typed text of a form is kept. */
export const keyOf = (form) => `${PREFIX}${form.dataset.writer}:${form.dataset.card}`;

const entriesOf = (form) => [...new FormData(form)].filter(([name]) => !NOT_KEPT.includes(name));

/** Keeps what stands in the form now. A browser that keeps nothing is no reason to stop writing. */
export function keep(form) {
  try {
    localStorage.setItem(keyOf(form), JSON.stringify({ when: Date.now(), entries: entriesOf(form) }));
  } catch (error) {
    console.warn(error);
  }
}

/** What was kept of a form, if it says anything else than the form does by itself. */
export function kept(form) {
  try {
    const half = JSON.parse(localStorage.getItem(keyOf(form)));
    const same = JSON.stringify(half?.entries) === JSON.stringify(entriesOf(form));
    return half && !same ? half : null;
  } catch {
    return null;
  }
}

export function forget(key) {
  localStorage.removeItem(key);
}

/** Forgets everything half typed, whoever typed it. */
export function forgetAll() {
  for (const key of Object.keys(localStorage)) if (key.startsWith(PREFIX)) forget(key);
}

for (const form of document.querySelectorAll("form[data-leaving]")) form.addEventListener("submit", forgetAll);
