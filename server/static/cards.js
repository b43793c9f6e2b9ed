// While a card is written: remarks and preview follow what is typed, and what is half typed survives a
// closed lid. Everything works without this file, by the button for the preview.

import { ask, headers } from "./live.js";
import { forget, keep, kept, keyOf } from "./halftyped.js";

const LOOK_MS = 500;
const KEEP_MS = 250;
let looking = 0;
let keeping = 0;
let asking = new AbortController();
let written = null;

const form = () => document.querySelector("form[data-card]");

/** What was filled in since the server was asked goes along into the new part. */
function carryOver(old, next) {
  for (const field of old.querySelectorAll("select, input:not([type=hidden])")) {
    const same = [...next.querySelectorAll("select, input")].find(
      (each) => each.name === field.name && (field.type !== "checkbox" || each.value === field.value),
    );
    if (!same) continue;
    if (field.type === "checkbox") same.checked = field.checked;
    else same.value = field.value;
    const wrong = document.getElementById(`${field.name}-wrong`);
    const isSaid = [...next.querySelectorAll(".wrong")].some((each) => each.id === wrong?.id);
    if (wrong && !isSaid) same.closest(".field")?.append(wrong); // only a save asks for it
  }
}

/** Puts what the server says of the fields beside them; whatever is being filled in stays. */
function freshen(text) {
  const page = new DOMParser().parseFromString(text, "text/html");
  for (const next of page.querySelectorAll("[data-fresh]")) {
    const old = document.getElementById(next.id);
    if (!old || old.contains(document.activeElement)) continue;
    const named = (part) => [...part.querySelectorAll("input[type=hidden]")].map((each) => each.value).join();
    if (named(old) === named(next)) carryOver(old, next);
    old.replaceWith(document.adoptNode(next));
  }
  for (const remark of document.querySelectorAll("[data-of]")) {
    if (document.getElementById(`${remark.dataset.of}-wrong`)) remark.remove(); // it stands beside its field
  }
}

/** What was said of a field goes as soon as it is written anew. */
function clearWrong(field) {
  document.getElementById(`${field.name}-wrong`)?.remove();
  field.removeAttribute("aria-invalid");
  field.removeAttribute("aria-describedby");
}

/** Asks what is to be said of the card as it is typed now. */
async function look() {
  const here = form();
  if (!here) return;
  asking.abort();
  asking = new AbortController();
  const body = new FormData(here);
  body.set("preview", "yes");
  try {
    const answer = await fetch(here.action, { method: "POST", headers: headers(), body, signal: asking.signal });
    if (answer.ok && form() === here) freshen(await answer.text());
  } catch (error) {
    if (error.name !== "AbortError") console.warn(error);
  }
}

function keepNow() {
  clearTimeout(keeping);
  if (form() && keeping) keep(form());
  keeping = 0;
}

/** Shows the form with what was half typed the last time, where there is any. */
async function takeUpAgain() {
  const here = form();
  const half = here && kept(here);
  if (!half) return;
  const body = new FormData();
  for (const [name, value] of half.entries) body.append(name, value);
  body.set("preview", "yes");
  const answer = await ask(here.action, { method: "POST", body });
  const notice = document.querySelector("#kept");
  if (!answer.ok || !notice) return;
  notice.querySelector("[data-when]").textContent = new Date(half.when).toLocaleString();
  notice.hidden = false;
}

/** Notes which card is being written, and forgets what was kept of it once it is saved. */
function noteForm() {
  if (written && location.pathname !== written.path) {
    forget(written.key);
    written = null;
  }
  if (!form()) return;
  written = { key: keyOf(form()), path: location.pathname };
  document.querySelector("#stays").hidden = false;
}

document.addEventListener("input", (event) => {
  if (!event.target.closest("form[data-card]")) return;
  clearWrong(event.target);
  clearTimeout(looking);
  looking = setTimeout(look, LOOK_MS);
  clearTimeout(keeping);
  keeping = setTimeout(keepNow, KEEP_MS);
});
document.addEventListener("click", (event) => {
  if (!event.target.closest("[data-throw]")) return;
  forget(keyOf(form()));
  location.reload();
});
document.addEventListener(
  "submit",
  (event) => {
    keepNow();
    const busy = document.querySelector("main[aria-busy]");
    if (busy?.contains(event.target)) {
      event.preventDefault(); // a second tap on a slow day sends nothing twice
      event.stopImmediatePropagation();
    }
  },
  { capture: true },
);
document.addEventListener("visibilitychange", keepNow);
addEventListener("pagehide", keepNow);
document.addEventListener("lowshelf:shown", noteForm);
noteForm();
takeUpAgain();
