// What every page has: the search key, the menus, day and night, messages, and forms sent once.
import { chooseTheme } from "./daynight.js";
import { sendOnce } from "./once.js";

const typing = (element) => element instanceof Element && element.closest("input, select, textarea, [contenteditable]");

function jumpToSearch(event) {
  if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey || typing(event.target)) return;
  const search = document.querySelector("[data-search]");
  if (!search) return;
  event.preventDefault();
  search.focus();
  search.select();
}

function menu(button) {
  const panel = document.getElementById(button.getAttribute("aria-controls"));
  button.addEventListener("click", () => {
    const open = button.getAttribute("aria-expanded") !== "true";
    button.setAttribute("aria-expanded", String(open));
    panel.classList.toggle("open", open);
  });
}

function closeMenus(event) {
  if (event.key !== "Escape") return;
  for (const details of document.querySelectorAll("details.me[open]")) {
    details.open = false;
    details.querySelector("summary").focus();
  }
  for (const button of document.querySelectorAll("[data-menu][aria-expanded=true]")) {
    button.click();
    button.focus();
  }
}

function clickedElsewhere(event) {
  for (const details of document.querySelectorAll("details.me[open]")) {
    if (!details.contains(event.target)) details.open = false;
  }
}

function dismiss(event) {
  const button = event.target.closest("[data-dismiss]");
  if (!button) return;
  const list = button.closest(".messages");
  button.closest(".message").remove();
  if (!list.querySelector(".message")) list.remove();
  document.getElementById("main").focus();
}

function printPage(event) {
  if (event.target.closest("[data-print]")) window.print();
}

document.addEventListener("keydown", jumpToSearch);
document.addEventListener("keydown", closeMenus);
document.addEventListener("click", clickedElsewhere);
document.addEventListener("click", dismiss);
document.addEventListener("click", printPage);
document.querySelectorAll("[data-menu]").forEach(menu);
chooseTheme(document);
sendOnce(document);
