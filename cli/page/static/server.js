// Talking to the server. Every answer says which state of the case it speaks of.

export const tab = crypto.randomUUID();
export const state = {
  opening: Number(document.body.dataset.opening),
  revision: Number(document.body.dataset.revision || 0), // the newest that is known
  base: Number(document.body.dataset.revision || 0), // that the fields show, and on which edits are made
};
const listeners = [];

// Called with the facts of every answer, and whether the case was changed by somebody else; waited for.
export function onFacts(listener) {
  listeners.push(listener);
}

async function hear(facts, own) {
  if (facts.opening === undefined) return;
  const before = state.revision;
  state.revision = Math.max(state.revision, facts.revision);
  if (own && facts.revision === state.base + 1) state.base = facts.revision;
  // An edit of ours moves the case by one; what goes beyond that came from elsewhere.
  const elsewhere = facts.revision > state.base && facts.revision > before;
  for (const listener of listeners) await listener(facts, elsewhere);
}

async function read(response, own) {
  if (response.status === 409) {
    show("elsewhere");
    return { elsewhere: true };
  }
  if (response.status === 403) show("lost"); // another page has taken its place
  if (!response.ok) return { problem: await response.text(), advice: "", failed: true };
  const facts = await response.json();
  show("lost", false);
  await hear(facts, own);
  return facts;
}

export function show(id, yes = true) {
  const notice = document.getElementById(id);
  if (notice) notice.hidden = !yes;
}

export async function post(path, said, own = true) {
  const body = JSON.stringify({ ...said, tab, base: state.base, opening: state.opening });
  try {
    return await read(await fetch(path, { method: "POST", headers: { "content-type": "application/json" }, body }), own);
  } catch {
    show("lost");
    return { problem: "the page does not answer", advice: "", failed: true };
  }
}

export async function get(path, asked = {}, signal = undefined) {
  const query = new URLSearchParams(asked).toString();
  try {
    return await read(await fetch(query ? `${path}?${query}` : path, { signal }), false);
  } catch (error) {
    if (error.name !== "AbortError") show("lost");
    return { failed: true, aborted: error.name === "AbortError" };
  }
}
