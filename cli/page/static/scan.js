// A scan is sent and measured. That takes a while: its time is told, and it can be stopped.
import { post, upload } from "./server.js";

export function watchScan(form, asked, done) {
  const part = (name) => form.querySelector(`[data-scan="${name}"]`);
  const clock = (start) => {
    part("progress").textContent = `Being measured, ${Math.floor((performance.now() - start) / 1000)} s`;
    part("stop").hidden = false;
  };
  part("stop").addEventListener("click", () => post("/stop", { job: "scan" }));
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    event.stopPropagation();
    const file = part("file").files[0];
    const said = { name: file.name, units: part("units").value, trueness: part("trueness").value, ...asked() };
    const ticking = setInterval(clock, 1000, performance.now());
    part("go").disabled = true;
    part("problem").textContent = "";
    try {
      const found = await upload("/scan", said, file);
      part("problem").textContent = found.problem ? `${found.problem}${found.advice ? `; ${found.advice}` : ""}` : "";
      if (!found.problem) done(found);
    } finally {
      clearInterval(ticking);
      part("go").disabled = false;
      part("progress").textContent = "";
      part("stop").hidden = true;
    }
  });
}
