// Day or night by the person's choice. Loaded before the page is drawn, so that it never flashes.
"use strict";
(() => {
  const chosen = () => {
    try {
      return localStorage.getItem("theme");
    } catch {
      return null; // a browser that keeps nothing follows the system
    }
  };
  const root = document.documentElement;
  const choice = chosen();
  if (choice === "light" || choice === "dark") root.dataset.theme = choice;
  root.dataset.script = "on";
})();
