// The keys of a grid: Enter and the arrows go up and down, left and right where the text ends.

const inputs = (row) => [...row.querySelectorAll("input[data-column]")];

function below(input, step) {
  const rows = [...input.closest("tbody").rows];
  const place = inputs(input.closest("tr")).indexOf(input);
  for (let at = rows.indexOf(input.closest("tr")) + step; rows[at]; at += step) {
    const there = inputs(rows[at])[place];
    if (there && !there.readOnly) return there;
  }
  return null;
}

function beside(input, step) {
  const there = inputs(input.closest("tr"));
  return there[there.indexOf(input) + step] ?? null;
}

// The last row of a column leads to the first open one of the next, so that a hand need not look for it.
function onward(input) {
  const next = beside(input, 1);
  if (!next) return null;
  const place = inputs(next.closest("tr")).indexOf(next);
  const rows = [...next.closest("tbody").rows];
  return rows.map((row) => inputs(row)[place]).find((one) => one && !one.readOnly) ?? null;
}

function target(event) {
  const input = event.target;
  const ends = input.selectionStart === input.selectionEnd;
  if (event.key === "Enter") return event.shiftKey ? below(input, -1) : (below(input, 1) ?? onward(input));
  if (event.key === "ArrowDown") return below(input, 1);
  if (event.key === "ArrowUp") return below(input, -1);
  if (event.key === "ArrowLeft" && ends && input.selectionStart === 0) return beside(input, -1);
  if (event.key === "ArrowRight" && ends && input.selectionEnd === input.value.length) return beside(input, 1);
  return undefined;
}

export function keys(table, save) {
  table.addEventListener("keydown", (event) => {
    if (!event.target.matches("input[data-column]") || event.altKey || event.isComposing) return;
    if (event.ctrlKey || event.metaKey) {
      if (event.key === "Enter") {
        event.preventDefault();
        save();
      }
      return;
    }
    const to = target(event);
    if (to === undefined) return;
    event.preventDefault();
    if (to) {
      to.focus();
      to.select();
    }
  });
}
