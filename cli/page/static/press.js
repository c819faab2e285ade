// Nothing is drawn anew under a finger: a press goes to nothing where what it was on is exchanged or moves away.
const LONGEST_MS = 1000;
const LOOK_MS = 20;
let since = -Infinity;

function isPress({ type, key }) {
  return type === "pointerdown" || key === " "; // Space presses a button until it is let go
}

for (const begin of ["pointerdown", "keydown"]) {
  document.addEventListener(begin, (event) => { if (isPress(event) && !event.repeat) since = performance.now(); }, true);
}
for (const end of ["pointerup", "pointercancel", "keyup"]) {
  document.addEventListener(end, () => { since = -Infinity; }, true);
}

export async function released() {
  while (performance.now() - since < LONGEST_MS) await new Promise((go) => setTimeout(go, LOOK_MS));
}
