// Talking to the server. Every answer says which state of the case it speaks of, and which tab made that state.

export const tab = crypto.randomUUID();
export const state = {
  opening: Number(document.body.dataset.opening),
  revision: Number(document.body.dataset.revision || 0), // the newest that is known
  base: Number(document.body.dataset.revision || 0), // that the fields show, and on which edits are made
  changing: 0, // entries on their way
  elsewhere: false, // another case was opened
};
export const LOST_MS = 15000; // after that something is sent or asked for again
const hearers = [];
const movers = [];

// Called with the facts of every answer that is not older than what is known.
export function onFacts(listener) {
  hearers.push(listener);
}

// Called whenever what is shown may have become current or outdated.
export function onMove(listener) {
  movers.push(listener);
}

export function moved() {
  for (const listener of movers) listener();
}

// Until an entry has its answer nothing that is shown is current; whatever becomes of it, that ends.
export async function changing(act) {
  state.changing += 1;
  moved();
  try {
    return await act();
  } finally {
    state.changing -= 1;
    moved();
  }
}

function hear(facts) {
  if (facts.opening === undefined) return facts;
  if (facts.opening !== state.opening) return leave(facts);
  if (facts.revision < state.revision) return facts;
  state.revision = facts.revision;
  // What this tab made itself its fields show already, in whatever order it hears of that; what comes from elsewhere
  // they have still to show.
  if (facts.by === tab && facts.since <= state.base) state.base = facts.revision;
  for (const listener of hearers) listener(facts);
  moved();
  return facts;
}

function leave({ problem, advice } = {}) {
  state.elsewhere = true;
  show("elsewhere");
  return { elsewhere: true, problem, advice };
}

async function understood(response) {
  if (response.status === 409) return leave();
  if (response.status === 403) show("lost"); // another page has taken its place
  if (!response.ok) return { problem: await response.text(), advice: "", failed: true };
  const facts = await response.json();
  show("lost", false);
  return facts;
}

async function fetched(path, how) {
  let facts;
  try {
    facts = await understood(await fetch(path, how));
  } catch (error) {
    if (error.name === "AbortError") return { aborted: true, failed: true };
    show("lost");
    return { lost: true, failed: true, problem: "the page does not answer", advice: "" };
  }
  return hear(facts);
}

// What stands against an entry, and what to do instead, as a sentence; empty where nothing does.
export function worded({ problem, advice }) {
  return problem ? `${problem[0].toUpperCase()}${problem.slice(1)}${advice ? `; ${advice}` : ""}.`.replace(/\.\.$/, ".") : "";
}

export function show(id, yes = true) {
  const notice = document.getElementById(id);
  if (!notice) return;
  if (!yes && notice.contains(document.activeElement)) document.querySelector(".sites input:checked")?.focus();
  notice.hidden = !yes;
}

export function post(path, said) {
  const body = JSON.stringify({ tab, base: state.base, opening: state.opening, ...said });
  const signal = AbortSignal.timeout(LOST_MS);
  return fetched(path, { method: "POST", headers: { "content-type": "application/json" }, body, signal });
}

// A file, with what is said of it in the address.
export function upload(path, said, file) {
  return fetched(`${path}?${new URLSearchParams(said)}`, { method: "POST", body: file });
}

// What is worked out may take long, all else does not: without a `signal` it counts as lost after a while.
export function get(path, asked = {}, signal = AbortSignal.timeout(LOST_MS)) {
  const query = new URLSearchParams(asked).toString();
  return fetched(query ? `${path}?${query}` : path, { signal });
}
