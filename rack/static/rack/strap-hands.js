// What hands do on the strap page: keys, keypad, buttons. Everything ends in the field of the reading.

const at = (id) => document.getElementById(id);
const WAIT = "The next joints are on their way from the store; what is typed stays here until they come.";

export function hands(page, data) {
  const reading = at("reading");
  const wrong = (text) => (at("wrong").textContent = text);

  function read(event) {
    event.preventDefault();
    const typed = reading.value.trim();
    if (!page.joint()) wrong(page.unread() ? WAIT : "Every line is read. Type the number of one more joint below first.");
    else if (typed && !/\d/.test(typed)) wrong("Type the length in figures.");
    else if (typed) {
      wrong("");
      reading.value = "";
      page.read(typed);
    }
    reading.focus();
  }

  // The signs of a number pad; they count in the empty field, where no length begins with them.
  const signs = { "+": page.confirmLast, "-": page.takeBackLast, "*": () => at("other").focus() };
  const arrows = { ArrowDown: page.skip, ArrowUp: page.back };

  function key(event) {
    if (event.repeat || event.ctrlKey || event.metaKey || event.altKey) return;
    const act = arrows[event.key] ?? (reading.value === "" ? signs[event.key] : undefined);
    if (!act) return;
    event.preventDefault();
    wrong("");
    act();
  }

  async function jump(event) {
    event.preventDefault();
    const text = at("other").value.trim();
    at("other").value = "";
    if (text) await page.jump(text);
    reading.focus();
  }

  function pad(event) {
    const button = event.target.closest("button");
    if (!button) return;
    reading.value = "erase" in button.dataset ? reading.value.slice(0, -1) : reading.value + button.dataset.digit;
    reading.focus();
  }

  // The buttons of the lists are forms, so that they work without this script; here they are sent by the outbox.
  function listed(event) {
    const button = event.submitter;
    const key = button?.closest("[data-key]")?.dataset.key;
    if (!key) return;
    event.preventDefault();
    if ("yes" in button.dataset) page.confirm(key);
    else page.takeBack(key);
    reading.focus();
  }

  at("read").addEventListener("submit", read);
  reading.addEventListener("keydown", key);
  at("jump").addEventListener("submit", jump);
  at("other").addEventListener("keydown", (event) => event.key === "Escape" && reading.focus());
  at("keypad").addEventListener("click", pad);
  // A glove taps twice, and under the second tap another question may have come up.
  at("asking").addEventListener("click", (event) => event.detail > 1 && event.preventDefault());
  for (const id of ["asking", "last"]) at(id).addEventListener("submit", listed);
  at("skip").addEventListener("click", (event) => {
    event.preventDefault();
    page.skip();
    reading.focus();
  });
  at("finish").addEventListener("toggle", () => at("finish").open && unread(data));
  arrange(reading);
}

// A hand in a glove has the keypad and no use for the keyboard of the glass; a desk has keys.
function arrange(reading) {
  const glass = matchMedia("(pointer: coarse)").matches;
  if (glass) reading.inputMode = "none";
  at("keypad").hidden = !glass;
  at("keys").hidden = glass;
  at("show-keypad").hidden = glass;
  at("show-keypad").addEventListener("click", () => {
    at("keypad").hidden = !at("keypad").hidden;
    reading.focus();
  });
  document.querySelector("[data-plain]")?.remove();
  reading.focus();
}

// What is left unread is said afresh when somebody is about to finish.
async function unread(data) {
  const answer = await fetch(`${data.state}?most=12`).catch(() => null);
  if (!answer?.ok) return;
  const strap = await answer.json();
  const names = strap.coming.map((joint) => joint.painted || joint.serial).join(", ");
  const more = strap.unread - strap.coming.length;
  at("left-unread").textContent = strap.unread ? `${strap.unread} not read: ${names}${more > 0 ? ` and ${more} more` : ""}.` : "Every line is read.";
  at("finish-it").textContent = strap.unread ? `Finish it with ${strap.unread} unread` : "Finish it";
}
