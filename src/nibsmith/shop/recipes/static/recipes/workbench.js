// What only the browser can do on the recipe page: choose as you type, keep what is open open, mark what is wrong.

const workbench = () => document.getElementById("workbench");

// A choice counts at once; a typed amount has its own request.
document.addEventListener("change", (event) => {
  const form = event.target.form;
  if (form?.id === "recipe-form" && event.target.matches("select, input[name=way]")) {
    form.requestSubmit();
  }
});

// Typing beside a way of saying how much chooses that way.
document.addEventListener("input", (event) => {
  const choice = event.target.closest(".way")?.querySelector("input[name=way]");
  if (choice && choice !== event.target) {
    choice.checked = true;
  }
});

// What was opened stays open when its piece of the page is answered again.
let open = [];
document.addEventListener("htmx:beforeSwap", () => {
  open = [...document.querySelectorAll("details[open][id]")].map((details) => details.id);
});
document.addEventListener("htmx:afterSettle", () => {
  for (const id of open) {
    document.getElementById(id)?.setAttribute("open", "");
  }
  markWrong();
});

// A field says that it is wrong where a message stands beside it.
function markWrong() {
  for (const field of workbench()?.querySelectorAll("input[aria-describedby]") ?? []) {
    const wrong = field.getAttribute("aria-describedby").split(" ").some((id) => {
      const said = document.getElementById(id);
      return said?.classList.contains("error") && said.textContent.trim() !== "";
    });
    field.toggleAttribute("aria-invalid", wrong);
    if (wrong) {
      field.setAttribute("aria-invalid", "true");
    }
  }
}
