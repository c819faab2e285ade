// The answer: asked for after every edit; what is out of date is marked so, and never put in place of what is newer.
import { drawAnew, tellLeftOut } from "./fields.js";
import { released } from "./press.js";
import { get, LOST_MS, post, state, worded } from "./server.js";

const answer = document.getElementById("answer");
const drawing = document.getElementById("drawing");
const words = answer.querySelector(".working .words");
const stop = answer.querySelector('[data-do="stop"]');
const SLOW_MS = 1000;
const IDLE_MS = 350;
const REACHED = "a, button, summary, input, select, [tabindex]";
const NOTHING = { of: -1, show: "" };
let shown = NOTHING; // the state of the case that the shown answer speaks of
let drawn = NOTHING; // and the drawing, with what it shows
let under = null; // the request under way, for the plan
let viewing = null; // and for the drawing
let rest = -1; // the state for which all that can wait was asked for
let ended = -1; // the state whose answer was stopped, or cannot be given
let later = new AbortController(); // of the requests for what can wait
let started = 0;
let idle = 0;
let show = "plan";
let running = "plan";

function put(id, html) {
  const place = document.getElementById(id);
  if (!place || html === undefined || place.dataset.html === html) return;
  if (place.contains(document.activeElement) && document.activeElement.matches("input, select:not([data-compare], [data-part='way'])")) {
    place.dataset.later = "yes"; // nobody's field is taken away while he writes in it
    return;
  }
  const open = [...place.querySelectorAll("details[open]")].map((one) => one.className);
  const at = [...place.querySelectorAll(REACHED)].indexOf(document.activeElement);
  drawAnew(place, html, state.base);
  place.dataset.html = html;
  for (const name of open) place.querySelector(`details.${CSS.escape(name)}`)?.setAttribute("open", "");
  if (at >= 0) stay(place.querySelectorAll(REACHED)[at] ?? place);
}

// Where the keyboard was, though what stood there was drawn anew or has gone.
function stay(at) {
  if (!at.matches(REACHED)) at.tabIndex = -1;
  at.focus({ preventScroll: true });
}

// Work of more than a second is told with its time, and can be stopped.
function clock() {
  const ms = started ? performance.now() - started : 0;
  if (ms < SLOW_MS && document.activeElement === stop) stay(answer);
  stop.hidden = ms < SLOW_MS;
  answer.toggleAttribute("data-slow", ms >= SLOW_MS);
  words.textContent = ms < SLOW_MS ? "working" : `working, ${Math.floor(ms / 1000)} s`;
}
setInterval(clock, 250);

function busy(job, since = performance.now()) {
  running = job;
  started = since;
  answer.dataset.busy = job;
}

function settled() {
  started = 0;
  delete answer.dataset.busy;
  clock();
}

// Whether what is shown speaks of the newest state known, with no entry on its way, is never remembered but judged.
function judge() {
  const still = state.changing === 0 && state.base === state.revision;
  answer.dataset.current = still && shown.of === state.revision ? "yes" : "no";
  drawing.dataset.current = still && drawn.of === state.revision && drawn.show === show ? "yes" : "no";
}

// What is missing is asked for. Called whenever anything has moved, and from time to time in case something was lost.
export function keepUp() {
  judge();
  const now = state.revision;
  if (state.changing || state.elsewhere || ended === now) return;
  if (shown.of !== now) {
    if (under?.of !== now) work();
    else if (isLost(under)) work(started);
  } else if (drawn.of !== now || drawn.show !== show) {
    if (viewing?.of !== now || viewing.show !== show || isLost(viewing)) view();
  } else if (rest !== now) {
    clearTimeout(idle);
    idle = setTimeout(further, IDLE_MS);
  }
}

// The server goes on with what it is at, and an answer asked for again joins that.
function isLost(request) {
  return performance.now() - request.since > LOST_MS;
}

// For one who looks for a fault: what is shown, what was asked for, and what is on its way.
export function standing() {
  return { shown, drawn, under, viewing, rest, ended, show, running, started };
}

async function answered(asked, signal) {
  const facts = await get("/answer", asked, signal);
  await released();
  return facts;
}

export async function work(since) {
  busy("plan", since);
  clearTimeout(idle);
  under?.stop.abort();
  later.abort();
  later = new AbortController();
  viewing = null;
  ended = -1;
  const mine = { of: state.revision, since: performance.now(), stop: new AbortController() };
  under = mine;
  try {
    const facts = await answered({ job: "plan" }, mine.stop.signal);
    if (mine === under) take(facts, mine);
  } finally {
    if (mine === under) {
      under = null;
      settled();
    }
  }
}

function take(facts, mine) {
  under = null;
  settled();
  if (facts.html) {
    present(facts);
    keepUp();
  } else if (!facts.lost && !facts.elsewhere) end(facts, mine); // what was lost is asked for again at the next look
}

function present(facts) {
  shown = { of: facts.of };
  for (const id of ["verdict", "asks", "plan"]) put(id, facts.html[id]);
  const resting = document.getElementById("resting"); // speaks of one state of the case only, and comes last
  if (resting.dataset.of !== String(facts.of)) {
    delete resting.dataset.of;
    put("resting", '<p class="quiet">What this choice hangs on is being worked out …</p>');
  }
  tellLeftOut();
  document.getElementById("glance").textContent = facts.html.glance;
  answer.dataset.status = facts.html.status;
  answer.dataset.of = facts.of;
}

// Of the state that it speaks of, which need not be the newest: that one is asked for.
function end(facts, mine) {
  ended = facts.of ?? mine.of;
  put("resting", "");
  if (facts.stopped) halted();
  else tellIn("verdict", facts);
  if (facts.fault) document.getElementById("verdict").append(againButton());
  keepUp();
}

async function view() {
  const mine = { of: state.revision, since: performance.now(), show };
  viewing = mine;
  try {
    const facts = await answered({ job: "view", show }, later.signal);
    if (mine === viewing) draw(facts, mine);
  } finally {
    if (mine === viewing) viewing = null;
  }
}

function draw(facts, mine) {
  viewing = null;
  if (facts.html) {
    for (const id of ["drawing", "hand", "motion"]) put(id, facts.html[id]);
    drawn = { of: facts.of, show: mine.show };
    drawing.dispatchEvent(new CustomEvent("drawn"));
    keepUp();
  } else if (!facts.lost && !facts.elsewhere) {
    ended = facts.of ?? mine.of;
    tellIn("drawing", facts);
    keepUp();
  }
}

// What can wait, and what is only worked out where it is open to be read.
async function further() {
  const of = state.revision;
  rest = of;
  for (const id of ["worth", "out", "ways", "cautions", "compare", "give", "hangs"]) {
    if (document.getElementById(id).dataset.of !== String(of)) put(id, '<p class="quiet">Being worked out …</p>');
  }
  busy("more");
  const facts = await answered({ job: "more" }, later.signal);
  if (facts.failed) rest = -1;
  if (facts.aborted) return;
  if (running === "more") settled();
  if (!facts.html) for (const id of ["worth", "out", "ways", "cautions"]) tellIn(id, facts);
  if (facts.html && facts.of === state.revision) layIn(facts);
  for (const part of answer.querySelectorAll("details[data-job][open]")) await workOut(part.dataset.job);
  if ((await workOut("hangs")).failed) rest = -1;
}

function layIn(facts) {
  for (const [id, html] of Object.entries(facts.html)) {
    put(id, html);
    const place = document.getElementById(id);
    if (place) place.dataset.of = facts.of;
  }
}

async function workOut(job, more = {}) {
  busy(job);
  const facts = await answered({ job, ...more }, later.signal);
  if (facts.aborted) return facts;
  if (running === job) settled();
  if (facts.html && facts.of === state.revision) layIn(facts);
  else if (!facts.html) {
    tellIn(job, facts);
    if (job === "hangs") put("resting", "");
  }
  return facts;
}

function tellIn(id, facts) {
  const text = document.createElement("p");
  text.className = "bad";
  text.textContent = facts.stopped ? "Stopped." : worded(facts) || "No answer.";
  const place = document.getElementById(id);
  place.replaceChildren(text);
  delete place.dataset.html;
}

// What is no fault of the case may go well the next time.
function againButton() {
  const button = Object.assign(document.createElement("button"), { type: "button", textContent: "Work it out again" });
  button.dataset.do = "work";
  return button;
}

function halted() {
  put("verdict", '<p class="sentence">Stopped.</p><p><button type="button" data-do="work">Work it out</button></p>');
  document.getElementById("glance").textContent = "Stopped";
}

export function showPlanOf(which) {
  show = which;
  keepUp();
}

async function sayWhy(event) {
  event.preventDefault();
  const form = event.target;
  put("why", '<p class="quiet">Being worked out …</p>');
  busy("why");
  const asked = { site: form.elements.site.value, attachment: form.elements.attachment.value };
  const facts = await answered({ job: "why", ...asked }, null);
  if (running === "why") settled();
  if (facts.html) layIn(facts);
  else tellIn("why", facts);
}

export function watchAnswer() {
  answer.addEventListener("click", (event) => {
    const does = event.target.closest("[data-do]")?.dataset.do;
    if (does === "stop") post("/stop", { job: running });
    if (does === "work") work();
  });
  for (const part of answer.querySelectorAll("details[data-job]")) {
    part.addEventListener("toggle", () => part.open && workOut(part.dataset.job));
  }
  answer.addEventListener("change", (event) => {
    if (event.target.dataset.compare === undefined) return;
    const which = [...answer.querySelectorAll("[data-compare]")].map((one) => one.value).join(",");
    workOut("compare", { which });
  });
  answer.addEventListener("focusout", () => {
    const later = answer.querySelector("[data-later]");
    if (!later) return;
    delete later.dataset.later;
    setTimeout(() => !later.contains(document.activeElement) && work(), 50);
  });
  document.getElementById("why-form").addEventListener("submit", sayWhy);
}
