/* What htmx leaves unsaid: an error in words, and nothing typed is lost over it. */
const alertRegion = document.getElementById("alert");

const say = (sentence) => { alertRegion.textContent = sentence; };

document.addEventListener("htmx:beforeRequest", () => say(""));
document.addEventListener("htmx:sendError", () => say("No connection. What you typed is still here; try again."));
document.addEventListener("htmx:timeout", () => say("The answer takes too long. What you typed is still here; try again."));
document.addEventListener("htmx:responseError", (event) => {
  const answer = new DOMParser().parseFromString(event.detail.xhr.responseText, "text/html");
  const sentence = answer.querySelector("[role=alert] p, main p");
  say(sentence ? sentence.textContent : "That was not done. What you typed is still here; try again.");
});
document.addEventListener("htmx:afterSettle", () => {
  const summary = document.getElementById("error-summary") ?? document.getElementById("stale");
  summary?.focus();
});

/* Where the control that was pressed is gone with the part that held it, the focus stays in the same section, or goes to
   the first section of what stands in that part's place. Never to another control: whoever presses twice would press what
   they did not read. */
let stoodIn = null;
document.addEventListener("htmx:beforeSwap", (event) => {
  const pressed = document.activeElement;
  stoodIn = event.detail.target.contains(pressed) ? pressed.closest("[aria-labelledby]")?.getAttribute("aria-labelledby") ?? "" : null;
});
document.addEventListener("htmx:afterSettle", (event) => {
  if (stoodIn === null || document.activeElement !== document.body) return;
  const place = document.querySelector(`[aria-labelledby="${CSS.escape(stoodIn)}"]`) ?? event.target.querySelector("[aria-labelledby]") ?? event.target;
  place.tabIndex = -1;
  place.focus({ preventScroll: true });
});

/* Whoever signs out leaves nothing typed in this tablet: it goes once the sign-out has come about, which without a
   network it does not. */
const LEAVES = "signing-out";
const signOut = document.querySelector(".masthead .who form");
signOut?.addEventListener("submit", () => sessionStorage.setItem(LEAVES, "yes"));
if (sessionStorage.getItem(LEAVES)) {
  sessionStorage.removeItem(LEAVES);
  if (!signOut) for (const key of Object.keys(localStorage)) if (/^(measuring|draft):/.test(key)) localStorage.removeItem(key);
}
