// The page where a case is begun.
import { post } from "./server.js";

document.addEventListener("submit", async (event) => {
  event.preventDefault();
  const form = event.target;
  const found = await post("/begin", { from: form.dataset.from, ...Object.fromEntries(new FormData(form)) });
  const line = form.querySelector(".problem");
  line.textContent = found.problem ? `${found.problem}${found.advice ? `; ${found.advice}` : ""}` : "";
  if (!found.problem) location.assign("/");
});
