// Fields: what is typed goes to the server at once; what cannot stand is told at the field and stays in it.
import { changing, post, state, worded } from "./server.js";

const AGAIN_MS = 1000;
const asked = new WeakMap(); // field that is asked back -> takes what is typed until a choice is made
const waiting = new Map(); // place -> what was typed last while an edit of it is under way

// True while an entry is on its way, was refused, or is asked back.
function isUnderWay(field) {
  return waiting.has(field.dataset.at) || field.querySelector("[aria-invalid], .meanwhile") !== null;
}

// For one who looks for a fault: the places whose entries are on their way, with what was typed since.
export function standing() {
  return [...waiting].map(([at, next]) => ({ at, next: next?.mine ?? null }));
}

// A part is drawn anew, and what does not stand in the case yet is not taken away; such a field knows on which state
// of the case it was filled in.
export function drawAnew(part, html, base) {
  const kept = [...part.querySelectorAll("[data-at]")].filter(isUnderWay);
  part.innerHTML = html; // escaped by the server
  for (const field of kept) {
    field.dataset.base ??= base;
    part.querySelector(`[data-at="${CSS.escape(field.dataset.at)}"]`)?.replaceWith(field);
  }
}

function said(field) {
  const part = (name) => field.querySelector(`[data-part="${name}"]`);
  const value = part("value");
  if (value.type === "checkbox") return { value: value.checked ? "yes" : "no" };
  return { value: value.value, error: part("error")?.value ?? "" };
}

function handSaid(field) {
  const attachment = field.querySelector('[data-part="attachment"]');
  const count = field.querySelector('[data-part="count"]');
  if (count) {
    const most = Number(attachment.selectedOptions[0].dataset.most || 1);
    for (const option of count.options) option.disabled = Number(option.value) > most;
    if (Number(count.value) > most) count.value = "1";
  }
  if (!attachment.value) return { value: "" };
  const many = count && count.value !== "1" ? ` x${count.value}` : "";
  return { value: attachment.value + many + (field.dataset.reworks ?? "") };
}

// An entry that cannot stand is not in the case, and so not in the answer.
export function tellLeftOut() {
  const count = document.querySelectorAll("#cards [aria-invalid], #strip [aria-invalid], #asks [aria-invalid]").length;
  const what = count === 1 ? "One entry cannot stand and is" : `${count} entries cannot stand and are`;
  const text = count ? `${what} left out of this answer; see the marked field.` : "";
  const line = document.getElementById("left-out");
  if (line.textContent !== text) line.textContent = text;
}

export function tell(field, problem, advice) {
  const line = field.querySelector(".problem");
  const input = field.querySelector("input, select");
  line.textContent = worded({ problem, advice });
  if (problem) input.setAttribute("aria-invalid", "true");
  else input.removeAttribute("aria-invalid");
  tellLeftOut();
}

// Nothing is sent until one has chosen between what stands there now and what was typed.
function meanwhile(field, theirs, mine, revision) {
  field.querySelector(".meanwhile")?.remove();
  field.dataset.base = revision; // what stands there now is told here
  const shown = theirs.value ? theirs.value + (theirs.error ? ` ± ${theirs.error}` : "") : "not known";
  const box = document.createElement("div");
  box.className = "meanwhile";
  box.setAttribute("role", "alert");
  const words = document.createElement("p");
  words.textContent = `Another tab has put ${shown} here meanwhile.`;
  const choice = (act) => {
    const button = Object.assign(document.createElement("button"), { type: "button" });
    button.addEventListener("click", () => {
      asked.delete(field);
      box.remove();
      act();
    });
    return button;
  };
  const keepTheirs = choice(() => fill(field, theirs));
  const useMine = choice(() => send(field, mine));
  const offer = (typed) => {
    mine = typed;
    useMine.textContent = `Use ${mine.value || "not known"}`;
  };
  keepTheirs.textContent = `Keep ${shown}`;
  offer(mine);
  asked.set(field, offer);
  box.append(words, keepTheirs, " ", useMine);
  fill(field, mine);
  field.append(box);
}

function fill(field, { value, error }) {
  const input = field.querySelector('[data-part="value"]');
  if (!input) return fillHand(field, value);
  if (input.type === "checkbox") input.checked = value === "yes";
  else input.value = value;
  const spread = field.querySelector('[data-part="error"]');
  if (spread) spread.value = error ?? "";
  const unknown = field.querySelector('[data-part="unknown"]');
  if (unknown) unknown.checked = value.trim() === "";
  tell(field, "");
}

function fillHand(field, value) {
  const way = field.querySelector('[data-part="way"]');
  if (way) {
    way.value = value;
    return;
  }
  const [, attachment, count, reworks] = value.match(/^(.*?)(?: x(\d))?( \+ .*)?$/);
  field.dataset.reworks = reworks ?? "";
  field.querySelector('[data-part="attachment"]').value = attachment;
  const many = field.querySelector('[data-part="count"]');
  if (many) many.value = count ?? "1";
}

// The same field may stand in the card and among the questions.
function copy(field, mine) {
  for (const other of document.querySelectorAll(`[data-at="${CSS.escape(field.dataset.at)}"]`)) {
    if (other !== field) fill(other, mine);
  }
}

// The field where it is now: the form may have been drawn anew meanwhile.
function live(field) {
  const id = field.querySelector("input, select").id;
  const found = document.getElementById(id) ?? document.querySelector(`[data-at="${CSS.escape(field.dataset.at)}"] input`);
  return found?.closest("[data-at]") ?? field;
}

// One edit of a field is under way at a time; what is typed meanwhile follows it.
async function send(field, mine) {
  const at = field.dataset.at;
  if (asked.has(field)) return asked.get(field)(mine);
  if (waiting.has(at)) {
    waiting.set(at, { field, mine });
    return;
  }
  await changing(async () => {
    try {
      for (let next = { field, mine }; next; ) {
        waiting.set(at, null);
        const facts = await sent(at, next);
        const after = waiting.get(at);
        waiting.delete(at);
        if (!after || facts.theirs) told(next.field, facts, after?.mine ?? next.mine);
        next = facts.theirs || facts.elsewhere ? null : after;
      }
    } finally {
      waiting.delete(at); // whatever becomes of it, the field can be typed into
    }
  });
}

// Until it is answered: what the page does not hear is sent again, or what was typed since in its place.
async function sent(at, entry) {
  for (;;) {
    const facts = await post("/edit", { at, base: Number(live(entry.field).dataset.base ?? state.base), ...entry.mine });
    if (!facts.lost) return facts;
    await new Promise((go) => setTimeout(go, AGAIN_MS));
    Object.assign(entry, waiting.get(at));
    waiting.set(at, null);
  }
}

function told(field, facts, mine) {
  const now = live(field);
  if (facts.elsewhere) return;
  if (facts.theirs) return meanwhile(now, facts.theirs, mine, facts.revision);
  tell(now, facts.problem, facts.advice);
  if (facts.problem) return;
  delete now.dataset.base;
  copy(field, mine);
}

export async function put(at, value) {
  await send(document.querySelector(`[data-at="${CSS.escape(at)}"]`), { value });
}

function typed(event) {
  const field = event.target.closest("[data-at]");
  const part = event.target.dataset.part;
  if (!field || !part) return;
  if (part === "attachment") field.dataset.reworks = ""; // those of another attachment mean nothing
  if (part === "attachment" || part === "count") {
    send(field, handSaid(field));
    return;
  }
  if (part === "way") {
    send(field, { value: event.target.value });
    return;
  }
  if (part === "unknown") {
    const value = field.querySelector('[data-part="value"]');
    if (event.target.checked) fill(field, { value: "", error: "" });
    else value.focus();
    if (!event.target.checked) return;
  } else {
    const unknown = field.querySelector('[data-part="unknown"]');
    if (unknown) unknown.checked = field.querySelector('[data-part="value"]').value.trim() === "";
  }
  send(field, said(field));
}

export function watchFields(root) {
  root.addEventListener("input", (event) => {
    if (event.target.matches('input[type="text"]')) typed(event);
  });
  root.addEventListener("change", (event) => {
    if (event.target.matches('select, input[type="checkbox"]')) typed(event);
  });
}
