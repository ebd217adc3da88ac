// The sheets that were begun in this browser and are not stored whole: to go on with, or to put away.
import { openStore } from "./grid-store.js";

const section = document.getElementById("unfinished");
const list = section.querySelector("[data-list]");
const pattern = section.querySelector("template");
const store = await openStore();

const typed = (row) => Object.values(row.cells).some((text) => text.trim());

function draw(entry) {
  const item = pattern.content.firstElementChild.cloneNode(true);
  const waiting = Object.values(entry.rows).filter((row) => !row.stored && typed(row)).length;
  item.querySelector("span").textContent = `${entry.title}: ${waiting} row${waiting === 1 ? "" : "s"} not stored`;
  item.querySelector("[name=token]").value = entry.token;
  item.querySelector("[data-away]").addEventListener("click", async () => {
    await store.remove(entry.sheet);
    item.remove();
    section.hidden = !list.children.length;
  });
  list.append(item);
}

const ours = (await store.all()).filter((entry) => entry.user === section.dataset.user);
ours.sort((one, other) => other.at - one.at).forEach(draw);
section.hidden = !list.children.length;
document.documentElement.dataset.grid = "ready";
