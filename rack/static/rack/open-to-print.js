// On paper every figure shows its working: what is folded is opened for printing and folded again after.

let opened = [];

addEventListener("beforeprint", () => {
  opened = [...document.querySelectorAll("details.worked:not([open])")];
  for (const one of opened) one.open = true;
});
addEventListener("afterprint", () => {
  for (const one of opened) one.open = false;
  opened = [];
});
