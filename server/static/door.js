// Lets somebody see the password they type. Without this file the form works just the same.

for (const row of document.querySelectorAll("[data-show]")) {
  row.hidden = false;
  row.addEventListener("change", (event) => {
    for (const field of row.closest("form").querySelectorAll("[data-secret]")) {
      field.type = event.target.checked ? "text" : "password";
    }
  });
}
document.querySelector("#problems")?.focus();
