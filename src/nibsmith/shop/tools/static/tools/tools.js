// What only the browser can do on a tool's page: keep what is open open, and mark what is wrong.

let open = [];
document.addEventListener("htmx:beforeSwap", () => {
  open = [...document.querySelectorAll("details[open][id]")].map((details) => details.id);
});
document.addEventListener("htmx:afterSettle", () => {
  for (const id of open) {
    document.getElementById(id)?.setAttribute("open", "");
  }
  for (const field of document.querySelectorAll("#tool-form [id]:is(input, select, textarea)")) {
    const said = document.getElementById(`${field.id}_error`);
    const wrong = Boolean(said?.textContent.trim());
    if (wrong) {
      field.setAttribute("aria-invalid", "true");
      field.setAttribute("aria-describedby", said.id);
    } else {
      field.removeAttribute("aria-invalid");
    }
    field.closest(".field")?.classList.toggle("wrong", wrong);
    if (wrong) {
      field.closest("details")?.setAttribute("open", "");
    }
  }
});
