// The page of an open case: sites, tools, notices, and keeping in step with other tabs and the file.
import { addingTo, drawAdding, hasOption } from "./adding.js";
import { keepUp, showPlanOf, watchAnswer } from "./answer.js";
import { drawAnew, put, tell, tellLeftOut, watchFields } from "./fields.js";
import { released } from "./press.js";
import { watchScan } from "./scan.js";
import { changing, get, moved, onFacts, onMove, post, show, state, worded } from "./server.js";

const LOOK_MS = 2000;
const by = (id) => document.getElementById(id);
let unsaved = false;
let following = false;
let looking = false;
let wanted = ""; // the site that was added and is to be chosen, once it is in the form

// Sites

function radio() {
  return document.querySelector(".sites input:checked");
}

function chosen() {
  return radio()?.value ?? "";
}

function radioOf(name) {
  return [...document.querySelectorAll(".sites input")].find((one) => one.value === name);
}

function choose(name) {
  const found = radioOf(name) ?? document.querySelector(".sites input");
  if (!found) return;
  wanted = "";
  found.checked = true;
  for (const card of document.querySelectorAll(".card")) card.hidden = card.dataset.site !== found.value;
  history.replaceState(null, "", `#site=${encodeURIComponent(found.value)}`);
  mark();
  by("why-site").value = found.value;
  offer();
}

function mark() {
  const name = chosen();
  for (const shape of by("drawing").querySelectorAll(".above [data-of], .above text")) {
    const of = shape.dataset.of ?? shape.textContent;
    shape.classList.toggle("chosen", of === name || of === `${name}-arm`);
  }
}

function siteOf(of) {
  const names = [...document.querySelectorAll(".sites input")].map((one) => one.value);
  return names.find((name) => of === name || of === `${name}-arm` || of.startsWith(`${name}-part-`));
}

function offer() {
  const card = [...document.querySelectorAll(".card")].find((one) => one.dataset.site === by("why-site").value);
  const options = card ? [...card.querySelectorAll('[data-part="attachment"] option')].slice(1) : [];
  by("why-attachment").replaceChildren(...options.map((one) => new Option(one.textContent, one.value)));
}

// What "why not" asks about stays chosen, where it is still there.
function askAgain(site, attachment) {
  if (!hasOption(by("why-site"), site)) return;
  by("why-site").value = site;
  offer();
  if (hasOption(by("why-attachment"), attachment)) by("why-attachment").value = attachment;
}

function listSites() {
  const names = [...document.querySelectorAll(".sites input")].map((one) => one.value);
  by("why-site").replaceChildren(...names.map((name) => new Option(name, name)));
}

function go(at) {
  const [group, name] = at.split(".");
  if (["segments", "ends", "supports"].includes(group)) choose(name);
  const input = by(`f-${at}`);
  input?.closest("details")?.setAttribute("open", "");
  input?.focus();
}

// In step with the server

// The form of the newest state known: what comes late would take away what was typed since.
async function newestForm() {
  for (;;) {
    const facts = await get("/form");
    await released();
    if (!facts.html || facts.revision >= state.revision) return facts;
  }
}

// The form anew. All that is done to the page is done at once, so that nobody's typing falls between.
async function redraw() {
  const facts = await newestForm();
  if (!facts.html) return;
  const here = document.activeElement;
  const place = here?.selectionStart ?? null;
  const open = [...document.querySelectorAll("#strip details[open], .card details[open]")].map((one) => one.id);
  const asked = [by("why-site").value, by("why-attachment").value];
  const site = chosen();
  drawAnew(by("strip-parts"), facts.html.strip, state.base);
  drawAnew(by("cards"), facts.html.cards, state.base);
  by("sites").innerHTML = facts.html.sites;
  drawAdding(facts.html.adding);
  by("title").innerHTML = facts.html.title;
  for (const id of open) by(id)?.setAttribute("open", "");
  state.base = facts.revision;
  tellLeftOut();
  listSites();
  choose(radioOf(wanted) ? wanted : site);
  askAgain(...asked);
  const again = here?.isConnected ? here : (by(here?.id) ?? radio());
  if (again === document.activeElement) return;
  again?.focus();
  if (place !== null && again?.type === "text") again.setSelectionRange(place, place);
}

// What was done elsewhere is shown in the fields, once our own entries are through.
async function follow() {
  if (following || state.changing || state.elsewhere || state.base === state.revision) return;
  const before = state.base;
  following = true;
  try {
    await redraw();
  } finally {
    following = false;
    if (state.base !== before) moved();
  }
}

function facts(found) {
  unsaved = found.unsaved;
  by("saved").textContent = found.unsaved ? "not saved" : "saved";
  by("file").textContent = found.file;
  for (const name of ["undo", "redo"]) by(name).setAttribute("aria-disabled", String(!found[name]));
  show("disk", found.disk);
  show("recovery", found.left_behind);
  show("unkept", found.not_kept !== "");
  by("unkept-reason").textContent = found.not_kept;
  for (const [key, text] of Object.entries(found.essences ?? {})) {
    const place = key === "title" ? by("title") : document.querySelector(`[data-essence="${key}"]`);
    if (place && place.textContent.trim() !== text) place.textContent = text;
  }
}

// A change of the whole is made by no field of this tab: all are read anew, like what was done elsewhere.
function structure(path, said) {
  return changing(async () => {
    const found = await post(path, { ...said, tab: "" });
    if (state.base !== state.revision) await redraw();
    return found;
  });
}

// Nothing that was lost on the way stays lost. One look at a time.
async function look() {
  if (looking || document.visibilityState !== "visible") return;
  looking = true;
  try {
    await get("/state");
  } finally {
    looking = false;
    moved();
  }
}

// Tools

function naming(yes) {
  if (!yes && by("naming").contains(document.activeElement)) by("save").focus();
  by("naming").hidden = !yes;
  if (yes) by("save-name").select();
}

async function save(said = {}) {
  if (document.body.dataset.new === "yes" && !said.name) return naming(true);
  const found = await post("/save", said);
  by("save-problem").textContent = worded(found);
  if (found.disk) show("disk");
  else if (found.problem) naming(true);
  else {
    document.body.dataset.new = "no";
    naming(false);
    show("disk", false);
  }
}

// What was decided in a notice; where that cannot be, the notice says so.
async function decide(id, deciding) {
  by(id).querySelector(".problem").textContent = worded(await deciding);
}

async function clearHand() {
  for (const card of document.querySelectorAll(".by-hand")) {
    const select = card.querySelector('[data-part="attachment"]');
    if (select.value) {
      select.value = "";
      await put(card.dataset.at, "");
    }
  }
}

const tools = {
  undo: () => structure("/undo", {}),
  redo: () => structure("/redo", {}),
  save: () => save(),
  unname: () => naming(false),
  load: () => decide("disk", structure("/load", {})),
  over: () => save({ over: true, name: by("file").textContent }),
  recover: () => decide("recovery", structure("/recover", { take: true })),
  forget: () => decide("recovery", post("/recover", { take: false })),
  "clear-hand": clearHand,
};

// What lies under the pointer, below marks that belong to nothing as well.
function pointedAt(event) {
  const under = document.elementsFromPoint(event.clientX, event.clientY).filter((one) => one.closest("#drawing .above"));
  return under.map((one) => siteOf(one.dataset.of ?? (one.tagName === "text" ? one.textContent : ""))).find(Boolean);
}

document.addEventListener("click", async (event) => {
  if (event.target.closest("#drawing .above")) {
    const name = pointedAt(event);
    if (name) choose(name);
  }
  const button = event.target.closest("button");
  if (!button) return;
  if (button.dataset.do === "remove") {
    const found = await structure("/remove", { group: button.dataset.group, name: button.dataset.name });
    if (found.problem) tell(button.closest(".card").querySelector(".by-hand"), found.problem, found.advice);
  } else if (tools[button.dataset.do]) tools[button.dataset.do]();
  else if (button.dataset.go) go(button.dataset.go);
  else if (button.dataset.show) showPlanOf(button.dataset.show);
});
document.addEventListener("change", (event) => {
  if (event.target.name === "site" && event.target.type === "radio") choose(event.target.value);
  if (event.target.id === "why-site") offer();
});
document.addEventListener("submit", async (event) => {
  if (event.target.id === "naming") {
    event.preventDefault();
    save({ name: by("save-name").value });
  }
  if (!event.target.matches("form.add")) return;
  event.preventDefault();
  const { group } = event.target.dataset;
  const said = Object.fromEntries(new FormData(event.target));
  const found = await structure("/add", { group, ...said });
  const form = addingTo(group); // it may have been drawn anew
  form.querySelector(".problem").textContent = worded(found);
  if (found.problem) return;
  form.reset();
  wanted = said.name;
  if (radioOf(wanted)) choose(wanted);
});
document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  const key = event.key.toLowerCase();
  const writing = event.target.matches('input[type="text"], input:not([type])');
  if (key === "s") tools.save();
  else if (key === "z" && !writing) event.shiftKey ? tools.redo() : tools.undo();
  else if (key === "y" && !writing) tools.redo();
  else return;
  event.preventDefault();
});
window.addEventListener("beforeunload", (event) => {
  if (unsaved) event.preventDefault();
});

// A scan of the bar, into the case

function told(found) {
  if (found.elsewhere) return;
  const list = document.createElement("ul");
  const lines = found.notes.split("\n").map((text) => Object.assign(document.createElement("li"), { textContent: text }));
  list.replaceChildren(...lines);
  const head = Object.assign(document.createElement("p"), { textContent: "Measured, and put into the case:" });
  by("scan-told").replaceChildren(head, list);
  head.scrollIntoView({ block: "nearest" });
}

if (by("scan-form")) watchScan(by("scan-form"), () => ({ opening: state.opening }), told);

onFacts(facts);
onMove(keepUp);
onMove(follow);
watchFields(document.querySelector("main"));
watchAnswer();
by("drawing").addEventListener("drawn", mark);
setInterval(look, LOOK_MS);
listSites();
choose(decodeURIComponent(location.hash.replace("#site=", "")));
unsaved = by("saved").textContent === "not saved";
moved();
