// The page in the place of one that cannot be reached: where measuring goes on all the same.
import { openQueue } from "./queue.js";

const list = document.getElementById("kept-jobs");
const queue = await openQueue();
const waiting = (await queue.all()).filter((one) => one.state !== "stored");
for (const plan of await queue.plans()) {
  const first = plan.sets[0];
  if (!first) continue;
  const mine = waiting.filter((one) => one.job === plan.job && one.account === plan.account).length;
  const line = document.createElement("li");
  const link = document.createElement("a");
  link.href = `/jobs/${encodeURIComponent(plan.job)}/measure/${encodeURIComponent(first.feature)}/${first.number}/`;
  const number = document.createElement("span");
  number.className = "work-number";
  number.textContent = plan.job;
  const title = document.createElement("span");
  title.className = "work-title";
  title.textContent = "Go on measuring";
  const waits = document.createElement("span");
  waits.className = "work-waits";
  waits.textContent = `${plan.name}${mine ? `: ${mine} ${mine === 1 ? "reading waits" : "readings wait"} here` : ""}`;
  link.append(number, title, waits);
  line.append(link);
  list.append(line);
}
