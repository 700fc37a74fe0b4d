/* A draft is saved at every change. What the server has not confirmed stays on the page and, figures and choices alone,
   in this tablet; what cannot be saved as it stands waits, and the page says beside it why. */
import { give, newKey, storeOf, valueOf } from "./kept_here.js";

const PREFIX = "draft:";
const TYPING_MS = 700;
const AGAIN_MS = 5000;
const PATIENCE_MS = 10000;
const OPEN_MS = 30000;

const form = document.querySelector("form[data-keeps-at]");
const store = storeOf(PREFIX);

const isFigure = (field) => !field.matches("textarea, [type=hidden]") && (field.matches("select, [type=checkbox], [type=number], [type=date]") || !field.name.startsWith("pair-"));

function keep() {
  const key = PREFIX + form.dataset.draft;
  const bar = document.getElementById("draft-bar");
  const seen = form.elements.namedItem("seen_version");
  const unanswered = form.elements.namedItem("unanswered");
  const touched = document.getElementById("touched"); // which parts were written on here and are not saved
  touched.disabled = false;
  const changed = new Map(); // name -> { value, no, isFigure }: what the server has not confirmed
  let no = 0;
  let sentUpTo = 0;
  let sending = null;
  let underWay = ""; // the key of what was sent and is not answered yet: a page loaded meanwhile does not hear of it
  let waiting = 0;
  let isLeaving = false; // a button was pressed: the page is sent whole, and no change goes ahead of it any more
  let isThrough = false;
  let isStale = form.dataset.stale !== undefined;

  const say = (words, isSaved) => {
    const status = document.getElementById("saved");
    bar.classList.toggle("unsaved", !isSaved);
    if (status.textContent !== words) status.textContent = words;
  };

  const keepHere = () => {
    const typed = [...changed].filter(([, each]) => each.isFigure).map(([name, each]) => [name, each.value]);
    if (typed.length === 0) store.drop(key);
    else if (!store.write(key, { at: Date.now(), seen: seen.value, sent: `${unanswered.value} ${underWay}`.trim(), typed: Object.fromEntries(typed) })) return false;
    return true;
  };

  const unsaved = (why) => {
    say(keepHere() ? `Not saved: ${why}. What you typed is still here.` : `Not saved: ${why}. Do not close this page.`, false);
  };

  const partOf = (field) => field?.closest("[data-part]")?.dataset.part;

  const partsChanged = () => new Set([...changed.keys()].map((name) => partOf(form.elements.namedItem(name))).filter(Boolean));

  /* Of the page no more is sent than the parts that changed, each whole; what belongs to no part always goes along. */
  const whatChanged = () => {
    const parts = partsChanged();
    const body = new FormData(form);
    for (const name of [...body.keys()]) {
      const part = partOf(form.elements.namedItem(name));
      if (part && !parts.has(part)) body.delete(name);
    }
    body.set("changed", [...parts].join(" "));
    return body;
  };

  const parsed = (words, id = "kept") => new DOMParser().parseFromString(words, "text/html").getElementById(id);

  /* Put each part of the answer in the place of the part with its name, but never under somebody's fingers. */
  const show = (kept) => {
    for (const fresh of kept.querySelectorAll("[data-fresh]")) {
      const there = document.getElementById(fresh.id);
      if (!there || there.contains(document.activeElement) || there.innerHTML === fresh.innerHTML) continue;
      const opened = [...there.querySelectorAll("details")].map((each) => each.open);
      there.innerHTML = fresh.innerHTML;
      there.className = fresh.className;
      there.querySelectorAll("details").forEach((each, nth) => { each.open = opened[nth] ?? each.open; });
    }
    for (const row of kept.querySelectorAll("[data-row]")) {
      if (form.querySelector(`[data-row="${CSS.escape(row.dataset.row)}"]`)) continue;
      form.querySelector(`[data-rows="${CSS.escape(row.parentElement.dataset.rowsFor)}"]`)?.append(row);
    }
    for (const each of kept.querySelectorAll("data[data-field]")) {
      const field = form.elements.namedItem(each.dataset.field);
      if (field && !changed.has(each.dataset.field) && field !== document.activeElement) give(field, each.value);
    }
  };

  /* What stands beside is worked out anew once something is saved; only the latest question is waited for. */
  let asked = null;
  const renew = async () => {
    asked?.abort();
    const mine = asked = new AbortController();
    const patience = setTimeout(() => mine.abort(), PATIENCE_MS);
    let panel = null;
    try {
      const all = document.getElementById("all-implied")?.open ? "?all=1" : "";
      const answer = await fetch(form.dataset.panelAt + all, { signal: mine.signal });
      panel = answer.ok ? parsed(await answer.text(), "panel") : null;
    } catch { /* told below, unless a later question is under way */ }
    clearTimeout(patience);
    if (asked !== mine) return;
    document.getElementById("behind").hidden = panel !== null;
    if (panel) show(panel);
  };

  document.addEventListener("toggle", ({ target }) => {
    if (target.id === "all-implied" && target.open && target.querySelector("[data-to-come]")) renew();
  }, true);

  const complain = (kept) => {
    for (const old of form.querySelectorAll("[data-complains]")) old.remove();
    for (const field of form.querySelectorAll("[aria-invalid=true]")) {
      field.removeAttribute("aria-invalid");
      field.closest(".field")?.querySelector(".errors")?.remove();
    }
    for (const each of kept.querySelectorAll("[data-beside]")) {
      const field = document.getElementById(each.dataset.beside);
      if (!field) continue;
      field.setAttribute("aria-invalid", "true");
      const words = document.createElement("p");
      words.className = "errors";
      words.dataset.complains = "";
      words.textContent = each.textContent;
      field.closest(".field").append(words);
    }
  };

  const confirm = (kept, upTo) => {
    const waits = new Set([...kept.querySelectorAll("[data-beside]")].map((each) => partOf(document.getElementById(each.dataset.beside))));
    for (const [name, each] of [...changed]) if (each.no <= upTo && !waits.has(partOf(form.elements.namedItem(name)))) changed.delete(name);
    unanswered.value = "";
    seen.value = kept.dataset.version;
    keepHere();
  };

  /* Whoever signed in again on another page goes on here, if it is the same draft that they may write on. */
  const signedInAgain = async () => {
    try {
      const answer = await fetch(location.href, { signal: AbortSignal.timeout(PATIENCE_MS) });
      const now = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector("form[data-keeps-at]");
      if (now?.dataset.draft !== form.dataset.draft || now.dataset.person !== form.dataset.person) return false;
      form.elements.namedItem("csrfmiddlewaretoken").value = now.elements.namedItem("csrfmiddlewaretoken").value;
      return true;
    } catch {
      return false;
    }
  };

  const post = async (isSecondTry = false) => {
    const upTo = no;
    sentUpTo = no;
    const submission = newKey();
    underWay = submission;
    keepHere();
    const body = whatChanged();
    body.set("submission", submission);
    let answer, words;
    try {
      answer = await fetch(form.dataset.keepsAt, { method: "POST", body, signal: AbortSignal.timeout(PATIENCE_MS) });
      words = await answer.text();
    } catch {
      unanswered.value = `${unanswered.value} ${submission}`.trim();
      underWay = "";
      unsaved("no network");
      return "no network";
    }
    underWay = "";
    const kept = answer.ok ? parsed(words) : null;
    if (kept) {
      confirm(kept, upTo);
      if (kept.dataset.reload !== undefined) {
        isThrough = true;
        location.reload();
        return "saved";
      }
      show(kept);
      complain(kept);
      renew();
      say(kept.dataset.status, kept.dataset.waits === undefined);
      return "saved";
    }
    if (answer.status === 409 && unanswered.value !== "" && !isSecondTry) {
      // What was sent before and not answered may be under way still.
      await new Promise((then) => { setTimeout(then, TYPING_MS); });
      return post(true);
    }
    if (answer.status === 409) {
      isStale = true;
      unsaved("somebody else saved this draft meanwhile. Save shows both, side by side");
      return "stale";
    }
    if (answer.status === 403 && !isSecondTry && (await signedInAgain())) return post(true);
    if (answer.status === 403 || answer.redirected) {
      unsaved("you are signed out. Save leads to the sign-in and takes everything along");
      return "signed out";
    }
    unsaved("the server did not keep it");
    return "refused";
  };

  /* One at a time, in order; what changed meanwhile goes next. */
  const save = async () => {
    clearTimeout(waiting);
    while (sending) await sending;
    if (isLeaving) return "sent with the page";
    if (isStale) return "stale";
    sending = post();
    const outcome = await sending.finally(() => { sending = null; });
    if (outcome === "no network" || outcome === "refused") waiting = setTimeout(save, AGAIN_MS);
    else if (outcome === "saved" && [...changed.values()].some((each) => each.no > sentUpTo)) waiting = setTimeout(save, TYPING_MS);
    return outcome;
  };

  const note = (event) => {
    const field = event.target;
    if (!field.name) return;
    no += 1;
    changed.set(field.name, { value: valueOf(field), no, isFigure: isFigure(field) });
    keepHere();
    if (isStale) return unsaved("somebody else saved this draft meanwhile. Save shows both, side by side");
    clearTimeout(waiting);
    waiting = setTimeout(save, event.type === "change" ? 0 : TYPING_MS);
  };

  /* Say twice a minute that the draft is open here, and hear who else has it open. */
  const open = async () => {
    if (document.visibilityState === "hidden") return;
    try {
      const body = new FormData();
      body.set("csrfmiddlewaretoken", form.elements.namedItem("csrfmiddlewaretoken").value);
      const answer = await fetch(form.dataset.opensAt, { method: "POST", body, signal: AbortSignal.timeout(PATIENCE_MS) });
      const kept = answer.ok ? parsed(await answer.text()) : null;
      if (!kept) return;
      show(kept);
      if (!sending && Number(kept.dataset.version) > Number(seen.value) && unanswered.value === "" && !isStale) {
        isStale = true;
        unsaved("somebody else saved this draft. Save shows both, side by side; loading the page again shows theirs");
      }
    } catch { /* without a network nobody is told; the next change says so */ }
  };

  form.addEventListener("input", note);
  form.addEventListener("change", note);
  addEventListener("online", () => { if (changed.size > 0) save(); });
  addEventListener("pageshow", () => { isThrough = isLeaving = false; });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState !== "visible") return;
    if (changed.size > 0) save();
    open();
  });

  form.addEventListener("submit", async (event) => {
    if (isThrough) return;
    event.preventDefault();
    if (isLeaving) return;
    isLeaving = true;
    const pressed = event.submitter;
    clearTimeout(waiting);
    while (sending) await sending;
    // A browser refuses to send a form anew while it still fires the event of the first press.
    await new Promise((then) => { setTimeout(then); });
    isThrough = true;
    touched.value = [...new Set([...touched.value.split(" ").filter(Boolean), ...partsChanged()])].join(" ");
    form.requestSubmit(pressed);
  });

  /* What this tablet kept when it slept, was closed or lost the network. Kept before somebody saved, it is only shown. */
  const before = store.read(key);
  for (const [name, value] of Object.entries(before?.typed ?? {})) {
    const field = form.elements.namedItem(name);
    if (!field || valueOf(field) === value) continue;
    no += 1;
    changed.set(name, { value, no, isFigure: true });
    give(field, value);
  }
  if (changed.size === 0) store.drop(key);
  else if (before.seen === seen.value) {
    unanswered.value = before.sent ?? "";
    save();
  }
  else say("Not saved: filled in from this tablet, kept before the draft was saved last. Look at it, then save.", false);
  setInterval(open, OPEN_MS);
  open();
}

if (form) keep();
