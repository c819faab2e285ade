// The page where a case is begun.
import { post } from "./server.js";

function tell(form, found) {
  const line = form.querySelector(".problem");
  line.textContent = found.problem ? `${found.problem}${found.advice ? `; ${found.advice}` : ""}` : "";
  if (!found.problem) location.assign("/");
}

// Measuring takes a while: its time is told, and it can be stopped.
async function measure(form) {
  const [file, arch, units] = ["b-scan", "b-scan-arch", "b-units"].map((id) => document.getElementById(id));
  const asked = new URLSearchParams({ name: file.files[0].name, arch: arch.value, units: units.value });
  const progress = document.getElementById("scan-progress");
  const stop = document.getElementById("scan-stop");
  const start = performance.now();
  const clock = setInterval(() => {
    progress.textContent = `Being measured, ${Math.floor((performance.now() - start) / 1000)} s`;
    stop.hidden = false;
  }, 1000);
  try {
    const answer = await fetch(`/scan?${asked}`, { method: "POST", body: file.files[0] });
    tell(form, answer.ok ? await answer.json() : { problem: await answer.text() });
  } catch {
    tell(form, { problem: "the page does not answer" });
  }
  clearInterval(clock);
  progress.textContent = "";
  stop.hidden = true;
}

document.getElementById("scan-stop")?.addEventListener("click", () => post("/stop", { job: "scan" }));
document.addEventListener("submit", async (event) => {
  event.preventDefault();
  const form = event.target;
  if (form.id === "scan-form") return measure(form);
  tell(form, await post("/begin", { from: form.dataset.from, ...Object.fromEntries(new FormData(form)) }));
});
