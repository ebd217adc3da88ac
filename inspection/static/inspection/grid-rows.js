// What a row of the grid shows: its class and what it asks once it is stored, else the sentences of its refusal.

const made = (name, text, className) => {
  const element = document.createElement(name);
  if (text) element.textContent = text;
  if (className) element.className = className;
  return element;
};

export function show(row, state) {
  const box = row.querySelector(".becomes");
  const inputs = [...row.querySelectorAll("input[data-column]")];
  for (const input of inputs) input.readOnly = Boolean(state?.stored || state?.sending);
  row.classList.toggle("chosen", Boolean(state?.stored));
  box.replaceChildren();
  if (state?.sending) box.append(made("span", "on its way", "quiet-text"));
  if (state?.stored) {
    const link = made("a", state.said);
    link.href = state.address;
    box.append(link);
  }
  for (const text of state?.says ?? []) box.append(made("p", text));
  if (!state?.problems?.length) return;
  const list = made("ul", "", state.stored ? "" : "row-wrong");
  for (const problem of state.problems) {
    const item = made("li", `${problem.severity}: ${problem.text}`);
    if (problem.behind) item.append(made("span", ` (${problem.behind})`, "quiet-text"));
    list.append(item);
  }
  box.append(list);
}
