// Sends forms and follows links of a page without leaving it: the answer's main part takes the place of this one.
// Everything works without this file, by the same forms and links.

const main = () => document.querySelector("main");
let unsaved = false;

/** Where the hands are: the row of the table, or the row that an open placement belongs to. */
function rowOf(element) {
  return element?.closest("[data-back]")?.dataset.back ?? element?.closest("tr[id]")?.id ?? "";
}

/** Puts the main part of an answered page in place and keeps eyes and focus where they were. */
function show(text, url, { moved }) {
  const page = new DOMParser().parseFromString(text, "text/html");
  const next = page.querySelector("main");
  if (!next) return location.assign(url);
  const held = document.activeElement?.id;
  const row = rowOf(document.activeElement);
  const open = [...document.querySelectorAll("details[id][open]")].map((each) => each.id);
  const place = scrollY;
  main().replaceWith(document.adoptNode(next));
  document.title = page.title;
  for (const id of open) document.getElementById(id)?.setAttribute("open", "");
  const focus =
    document.querySelector("[data-focus], #problems") ??
    (held ? document.getElementById(held) : null) ??
    (row ? document.getElementById(row)?.querySelector("a, button") : null);
  if (moved) scrollTo(0, 0);
  else scrollTo(0, place);
  (focus ?? main()).focus({ preventScroll: !focus?.matches("#problems, [data-focus]") });
  document.dispatchEvent(new CustomEvent("lowshelf:shown"));
}

/** What a change has to carry besides its fields: the token that stands in every form of the page. */
function headers() {
  return { "X-Form-Token": document.querySelector("meta[name=form-token]")?.content ?? "" };
}

/** Asks for an address and shows what it answers. */
async function ask(url, options = {}) {
  if (options.method) options = { headers: headers(), ...options };
  main().setAttribute("aria-busy", "true");
  try {
    const answer = await fetch(url, { ...options, redirect: "follow" });
    const here = new URL(answer.url);
    const moved = here.pathname !== location.pathname;
    if (answer.redirected || !options.method) {
      if (moved || here.search !== location.search) history.pushState(null, "", here);
    }
    show(await answer.text(), here, { moved });
    return answer;
  } finally {
    main().removeAttribute("aria-busy");
  }
}

document.addEventListener("submit", async (event) => {
  const form = event.target;
  if (!form.closest("[data-live]") || form.method !== "post") return;
  if (form.querySelector("input[type=file]")) return;
  event.preventDefault();
  const button = event.submitter;
  const data = new FormData(form, button);
  const keeps = !["add", "drop", "up", "down", "show"].includes(button?.name);
  const address = button?.hasAttribute("formaction") ? button.formAction : form.action;
  const answer = await ask(address, { method: "POST", body: data });
  unsaved = keeps ? !answer.ok : true;
});

document.addEventListener("click", (event) => {
  const link = event.target.closest("a[data-live]");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
  event.preventDefault();
  ask(link.href);
});

document.addEventListener("input", (event) => {
  if (event.target.closest("form[data-keep]")) unsaved = true;
});
addEventListener("beforeunload", (event) => {
  if (unsaved) event.preventDefault();
});
addEventListener("popstate", () => location.reload());

export { ask, headers };
