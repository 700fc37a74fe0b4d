/* Nothing typed at a sitting is lost. Every change is sent to the server, which keeps it as a draft. What the server has
   not confirmed yet stays in this tablet: figures and choices alone, no name and no note, under the number of the draft. */
import { give, newKey, storeOf, valueOf } from "./kept_here.js";

const PREFIX = "measuring:";
const SENT = "measuring-sent";
const TYPING_MS = 700;
const AGAIN_MS = 5000;
const PATIENCE_MS = 10000;

const store = storeOf(PREFIX);

/* A sitting that was saved: its draft is needed no more. The form itself, come back with errors, still needs it. */
const form = document.querySelector("form[data-draft]");
const sent = sessionStorage.getItem(SENT);
if (sent) sessionStorage.removeItem(SENT);
if (sent && !form) store.drop(sent);

const isFigure = (field) =>
  !field.name.endsWith("-who") && field.name !== "taken_by" && field.matches("input.figure, select, [type=date], [type=time], [type=radio], [type=checkbox]");
function keep(form) {
  const key = PREFIX + form.dataset.draft;
  const page = newKey();
  const status = document.getElementById("saved");
  const bar = status.parentElement;
  const changed = new Map(); // name -> { value, no, isFigure }: what the server has not confirmed
  let no = 0;
  let sending = null;
  let waiting = 0;
  let isThrough = false;

  const say = (words, isSaved) => {
    bar.classList.toggle("unsaved", !isSaved);
    if (status.textContent !== words) status.textContent = words;
    const again = isSaved && document.getElementById("again");
    if (!again) return;
    const questions = document.querySelectorAll("fieldset.slip").length;
    const link = document.createElement("a");
    link.href = "#again";
    link.textContent = questions === 1 ? "1 question: measure again?" : `${questions} questions: measure again?`;
    status.append(" · ", link);
  };

  const keepHere = () => {
    const typed = [...changed].filter(([, each]) => each.isFigure).map(([name, each]) => [name, each.value]);
    if (typed.length === 0) store.drop(key);
    else if (!store.write(key, { at: Date.now(), typed: Object.fromEntries(typed) })) return false;
    return true;
  };

  const fill = (name, value) => {
    const field = form.elements.namedItem(name);
    if (field) give(field, value);
  };

  /* Say beside each line what the server said of it, and set a field where a third take is asked for. */
  const show = (kept) => {
    const said = new Map([...kept.querySelectorAll("[data-said-for]")].map((each) => [each.dataset.saidFor, each.innerHTML]));
    for (const line of form.querySelectorAll("[data-line]")) {
      const place = line.querySelector("[data-said]");
      const words = said.get(line.dataset.line) ?? "";
      if (place.innerHTML !== words) place.innerHTML = words;
    }
    for (const each of kept.querySelectorAll("[data-third-for]")) {
      const field = each.firstElementChild;
      if (form.elements.namedItem(field.name)) continue;
      form.querySelector(`[data-line="${CSS.escape(each.dataset.thirdFor)}"] [data-takes]`).append(field);
      if (changed.has(field.name)) fill(field.name, changed.get(field.name).value);
    }
    kept.querySelector("[data-of-lines]").remove();
    const held = document.getElementById("kept");
    if (held.innerHTML === kept.innerHTML) return;
    const focused = held.contains(document.activeElement) ? document.activeElement.id : "";
    held.innerHTML = kept.innerHTML;
    for (const [name, each] of changed) if (name.startsWith("answer-") || name === "two_takes_stand") fill(name, each.value);
    if (focused) document.getElementById(focused)?.focus();
  };

  const confirm = (upTo) => {
    for (const [name, each] of [...changed]) if (each.no <= upTo) changed.delete(name);
    keepHere();
  };

  const unsaved = (why) => {
    say(keepHere() ? `not saved: ${why}. The figures are kept in this tablet.` : `not saved: ${why}, and this tablet keeps nothing. Do not close this page.`, false);
  };

  /* Whoever signed in again on another page goes on here: the page takes the sign of the new sign-in, if it is the same
     person's, which the number of the draft tells. */
  const signedInAgain = async () => {
    try {
      const answer = await fetch(location.href, { signal: AbortSignal.timeout(PATIENCE_MS) });
      const now = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector("form[data-draft]");
      if (now?.dataset.draft !== form.dataset.draft) return false;
      form.elements.namedItem("csrfmiddlewaretoken").value = now.elements.namedItem("csrfmiddlewaretoken").value;
      return true;
    } catch {
      return false;
    }
  };

  const post = async (isSecondTry = false) => {
    const upTo = no;
    const body = new FormData(form);
    for (const [name, each] of changed) if (!body.has(name) && each.value !== "") body.set(name, each.value);
    body.set("submission", newKey());
    body.set("page", page);
    body.set("change", upTo);
    let answer, words;
    try {
      answer = await fetch(form.dataset.keepsAt, { method: "POST", body, signal: AbortSignal.timeout(PATIENCE_MS) });
      words = await answer.text();
    } catch {
      unsaved("no network");
      return "no network";
    }
    const kept = answer.ok ? new DOMParser().parseFromString(words, "text/html").getElementById("kept") : null;
    if (kept) {
      confirm(upTo);
      show(kept);
      say(kept.dataset.status, true);
      return "saved";
    }
    if (answer.status === 403 && !isSecondTry && (await signedInAgain())) return post(true);
    if (answer.status === 403 || answer.redirected) {
      unsaved("you are signed out. Save leads to the sign-in and takes everything along");
      return "signed out";
    }
    unsaved("the server did not keep it");
    return "refused";
  };

  /* One at a time, in order; what changed meanwhile goes next. Where nothing did, nothing is sent again: it might come
     after the sitting was saved, and would then be kept as the draft of another. */
  const save = async () => {
    clearTimeout(waiting);
    let outcome;
    while (sending) outcome = await sending;
    if (outcome === "saved" && changed.size === 0) return outcome;
    sending = post();
    outcome = await sending.finally(() => { sending = null; });
    if (outcome !== "saved" && outcome !== "signed out") saveIn(AGAIN_MS);
    else if (outcome === "saved" && changed.size > 0) saveIn(TYPING_MS);
    return outcome;
  };

  const saveIn = (ms) => {
    clearTimeout(waiting);
    waiting = setTimeout(save, ms);
  };

  const note = (event) => {
    const field = event.target;
    if (!field.name) return;
    no += 1;
    const value = field.type === "radio" && !field.checked ? form.elements.namedItem(field.name).value : valueOf(field);
    changed.set(field.name, { value, no, isFigure: isFigure(field) });
    keepHere();
    saveIn(event.type === "change" ? 0 : TYPING_MS);
  };

  const light = (event) => {
    for (const lit of document.querySelectorAll(".lies.lit")) lit.classList.remove("lit");
    const line = event.target.closest("[data-line]")?.dataset.line;
    if (line) document.querySelector(`[data-lies="${CSS.escape(line)}"]`)?.classList.add("lit");
  };

  const bring = (event) => {
    event.preventDefault();
    form.elements.namedItem(`${event.currentTarget.dataset.lies}-1`).focus();
  };

  form.addEventListener("input", note);
  form.addEventListener("change", note);
  form.addEventListener("focusin", light);
  for (const line of document.querySelectorAll("a.lies")) line.addEventListener("click", bring);
  form.elements.namedItem("unit").addEventListener("change", (event) => {
    for (const field of form.querySelectorAll("input.figure")) field.inputMode = event.target.value === "in" ? "text" : "decimal";
  });
  addEventListener("online", save);
  addEventListener("pageshow", () => { isThrough = false; });
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible" && changed.size > 0) save(); });

  form.addEventListener("submit", async (event) => {
    if (isThrough) return;
    event.preventDefault();
    const outcome = await save();
    // Whoever is signed out is carried through the sign-in with all that is typed, the note as well.
    if (outcome !== "saved" && outcome !== "signed out") return;
    isThrough = true;
    clearTimeout(waiting);
    sessionStorage.setItem(SENT, key);
    form.submit();
  });
  document.querySelector("form[data-drops-draft]")?.addEventListener("submit", () => store.drop(key));

  /* What this tablet kept when it slept, was closed or lost the network goes on where it stopped. */
  const before = store.read(key)?.typed ?? {};
  for (const [name, value] of Object.entries(before)) {
    no += 1;
    changed.set(name, { value, no, isFigure: true });
    fill(name, value);
  }
  const hasDraft = document.querySelector("form[data-drops-draft]") !== null;
  if (changed.size > 0 || hasDraft) save();
  else say("kept as you type", true);
}

if (form) keep(form);
