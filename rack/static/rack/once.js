// A form is sent once: gloves tap twice. The server's key guards too; this spares the second wait.

const PAUSE = 4000; // then it may be sent again, since the answer may be a file and the page stays

export function sendOnce(page) {
  page.addEventListener("submit", (event) => {
    const form = event.target;
    if (event.defaultPrevented || form.method !== "post") return;
    if (form.dataset.sent) {
      event.preventDefault();
      return;
    }
    form.dataset.sent = "yes";
    form.setAttribute("aria-busy", "true");
    setTimeout(() => release(form), PAUSE);
  });
  window.addEventListener("pageshow", () => page.querySelectorAll("form[data-sent]").forEach(release));
}

function release(form) {
  delete form.dataset.sent;
  form.removeAttribute("aria-busy");
}
