// The page where a case is begun.
import { watchScan } from "./scan.js";
import { post, worded } from "./server.js";

function tell(form, found) {
  form.querySelector(".problem").textContent = worded(found);
  if (!found.problem) location.assign("/");
}

document.addEventListener("submit", async (event) => {
  event.preventDefault();
  const form = event.target;
  tell(form, await post("/begin", { from: form.dataset.from, ...Object.fromEntries(new FormData(form)) }));
});

const scan = document.getElementById("scan-form");
if (scan) watchScan(scan, () => ({ arch: document.getElementById("scan-arch").value }), () => location.assign("/"));
