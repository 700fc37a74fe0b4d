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
