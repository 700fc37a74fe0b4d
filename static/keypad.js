/* Digits to touch, for a bench terminal without a keyboard. The field takes typed digits just as well. */
const OF_A_PIN = ["1", "2", "3", "4", "5", "6", "7", "8", "9", "Clear", "0", "Back"];
const OF_FIGURES = ["1", "2", "3", "4", "5", "6", "7", "8", "9", "0", ",", "Back"];
const IN_WORDS = { ",": "decimal comma" };

const press = (field, mark) => {
  if (mark === "Clear") field.value = "";
  else if (mark === "Back") field.value = field.value.slice(0, -1);
  else if (field.value.length < field.maxLength) field.value += mark;
};

/* One pad serves all figures of a form: it types into the one that was touched last, at first into the first. */
const touched = new Map();
document.addEventListener("focusin", ({ target }) => {
  if (target.matches("[data-keyed]")) touched.set(target.form.id, target.id);
});
const figureOf = (form) => document.getElementById(touched.get(form)) ?? document.querySelector(`#${CSS.escape(form)} [data-keyed]`);

const fill = (pad, marks, field) => {
  if (pad.children.length) return;
  pad.setAttribute("role", "group");
  pad.setAttribute("aria-label", "Digits");
  for (const mark of marks) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = mark;
    if (IN_WORDS[mark]) button.setAttribute("aria-label", IN_WORDS[mark]);
    button.addEventListener("click", () => press(field(), mark));
    pad.append(button);
  }
};

const fillAll = () => {
  for (const pad of document.querySelectorAll("[data-keypad-for]")) fill(pad, OF_A_PIN, () => document.getElementById(pad.dataset.keypadFor));
  for (const pad of document.querySelectorAll("[data-keypad-of]")) fill(pad, OF_FIGURES, () => figureOf(pad.dataset.keypadOf));
};
fillAll();
document.addEventListener("htmx:afterSettle", fillAll);
