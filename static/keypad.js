/* Digits to touch, for a bench terminal without a keyboard. The field takes typed digits just as well. */
const MARKS = ["1", "2", "3", "4", "5", "6", "7", "8", "9", "Clear", "0", "Back"];

const press = (field, mark) => {
  if (mark === "Clear") field.value = "";
  else if (mark === "Back") field.value = field.value.slice(0, -1);
  else if (field.value.length < field.maxLength) field.value += mark;
};

for (const pad of document.querySelectorAll("[data-keypad-for]")) {
  const field = document.getElementById(pad.dataset.keypadFor);
  pad.setAttribute("role", "group");
  pad.setAttribute("aria-label", "Digits");
  for (const mark of MARKS) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = mark;
    button.addEventListener("click", () => press(field, mark));
    pad.append(button);
  }
}
