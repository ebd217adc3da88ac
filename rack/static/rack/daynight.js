// The three buttons that choose day, night, or what the system wishes.

const KEY = "theme";

function kept() {
  try {
    return localStorage.getItem(KEY) ?? "system";
  } catch {
    return "system";
  }
}

function keep(choice) {
  try {
    if (choice === "system") localStorage.removeItem(KEY);
    else localStorage.setItem(KEY, choice);
  } catch {
    // A browser that keeps nothing: the choice holds for this page.
  }
}

function show(buttons, choice) {
  const root = document.documentElement;
  if (choice === "system") delete root.dataset.theme;
  else root.dataset.theme = choice;
  for (const button of buttons) button.setAttribute("aria-pressed", String(button.dataset.choose === choice));
}

export function chooseTheme(page) {
  const buttons = [...page.querySelectorAll("[data-choose]")];
  show(buttons, kept());
  for (const button of buttons) {
    button.addEventListener("click", () => {
      keep(button.dataset.choose);
      show(buttons, button.dataset.choose);
    });
  }
}
