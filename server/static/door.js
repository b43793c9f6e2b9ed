// Lets somebody see the password they type, and says how long it is. Without this file the form works
// just the same. What is half typed is never sent: only its length is looked at, here; the server is
// asked what it thinks of the whole once the field is left.

import { headers } from "./live.js";

for (const row of document.querySelectorAll("[data-show]")) {
  row.hidden = false;
  row.addEventListener("change", (event) => {
    for (const field of row.closest("form").querySelectorAll("[data-secret]")) {
      field.type = event.target.checked ? "text" : "password";
    }
  });
}
for (const said of document.querySelectorAll("[data-strength]")) {
  const field = said.closest(".field").querySelector("input");
  const shortest = Number(said.dataset.shortest);
  const length = () => [...field.value].length;
  field.addEventListener("input", () => {
    said.textContent =
      length() < shortest
        ? `${length()} of ${shortest} signs at least.`
        : "Long enough. Each further sign makes it harder to guess.";
  });
  field.addEventListener("change", async () => {
    const typed = field.value;
    if (length() < shortest) return;
    const body = new URLSearchParams({ password: typed });
    for (const name of ["link", "name"]) body.set(name, field.form.elements[name]?.value ?? "");
    try {
      const answer = await fetch(said.dataset.strength, { method: "POST", headers: headers(), body });
      if (answer.ok && field.value === typed) said.textContent = await answer.text();
    } catch (error) {
      console.warn(error); // it is judged again when the form is sent
    }
  });
}
document.querySelector("#problems")?.focus();
