// A scan is sent and measured. That takes a while: it is told at once, its time is shown, and it can be stopped.
import { post, upload, worded } from "./server.js";

export function watchScan(form, asked, done) {
  const part = (name) => form.querySelector(`[data-scan="${name}"]`);
  const go = part("go");
  const stop = part("stop");
  let stopping = false;

  // The button stays where it is, so that nobody loses his place at the keyboard; of two presses the second is none.
  const isBusy = () => go.getAttribute("aria-disabled") === "true";
  const busy = (yes) => {
    if (!yes && document.activeElement === stop) go.focus();
    go.setAttribute("aria-disabled", String(yes));
    part("progress").textContent = yes ? "Being measured" : "";
    part("clock").textContent = "";
    stop.hidden = !yes;
    stopping = false;
  };
  const end = () => post("/stop", { job: "scan" });
  const tick = (start) => {
    part("clock").textContent = `, ${Math.floor((performance.now() - start) / 1000)} s`;
    if (stopping) end(); // said again until it is heard: the scan may still be on its way
  };

  stop.addEventListener("click", () => {
    stopping = true;
    end();
  });
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    event.stopPropagation();
    if (isBusy()) return;
    const file = part("file").files[0];
    const said = { name: file.name, units: part("units").value, trueness: part("trueness").value, ...asked() };
    const ticking = setInterval(tick, 1000, performance.now());
    part("problem").textContent = "";
    busy(true);
    try {
      const found = await upload("/scan", said, file);
      part("problem").textContent = worded(found);
      if (!found.problem) done(found);
    } finally {
      clearInterval(ticking);
      busy(false);
    }
  });
}
