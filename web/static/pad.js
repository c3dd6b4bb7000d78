// A number pad with keys large enough for a cold thumb, for fields that take a
// number on a screen that is touched. A keyboard works as ever; "Letters" brings
// the device's own.
"use strict";

{
  const coarse = matchMedia("(pointer: coarse)");
  const isNumber = (e) => e instanceof HTMLInputElement && !e.disabled && (e.dataset.pad === "yes" || e.inputMode === "decimal");
  const keys = [["1", "2", "3", "back"], ["4", "5", "6", "−"], ["7", "8", "9", "own"], [".", "0", "save", "next"]];
  const words = { back: ["⌫", "Take back a digit"], own: ["abc", "The device's own keyboard"], save: ["Save", ""], next: ["Next", ""] };
  let field = null;

  const pad = document.createElement("div");
  pad.className = "pad";
  pad.hidden = true;
  pad.setAttribute("role", "group");
  pad.setAttribute("aria-label", "Number pad");
  for (const key of keys.flat()) {
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: key, tabIndex: -1 });
    button.dataset.key = key;
    if (words[key]) {
      button.textContent = words[key][0];
      if (words[key][1]) button.setAttribute("aria-label", words[key][1]);
    }
    pad.append(button);
  }

  function put(text, start, end) {
    field.setRangeText(text, start, end, "end");
    field.dispatchEvent(new InputEvent("input", { bubbles: true }));
  }

  // fields are those that the pad goes through, in their order on the page.
  function fields() {
    return Array.from(field.form.elements).filter((e) => isNumber(e) && e.checkVisibility());
  }

  function away() {
    if (field) field.dispatchEvent(new Event("change", { bubbles: true }));
    pad.hidden = true;
    document.body.classList.remove("with-pad");
    field = null;
  }

  function press(key) {
    const start = field.selectionStart, end = field.selectionEnd;
    if (key === "back") { if (end > 0) put("", start === end ? start - 1 : start, end); return; }
    if (key === "save") {
      const form = field.form;
      field.blur();
      form.requestSubmit();
      return;
    }
    if (key === "own") {
      const own = field;
      own.blur();
      own.inputMode = "decimal";
      own.dataset.pad = "no";
      own.focus();
      return;
    }
    if (key === "next") {
      const all = fields(), following = all[all.indexOf(field) + 1];
      if (following) following.focus(); else field.blur();
      return;
    }
    put(key === "−" ? "-" : key, start, end);
  }

  // The field keeps the focus: a key is pressed without taking it.
  pad.addEventListener("pointerdown", (event) => event.preventDefault());
  pad.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    if (button && field) press(button.dataset.key);
  });

  function show(target) {
    field = target;
    pad.hidden = false;
    document.body.classList.add("with-pad");
    const following = fields();
    pad.querySelector('[data-key="next"]').textContent = following.indexOf(field) < following.length - 1 ? "Next" : "Done";
    field.scrollIntoView({ block: "center", behavior: "instant" });
  }

  function begin() {
    document.querySelector("main").append(pad);
    for (const input of document.querySelectorAll("form[data-log] input")) {
      if (input.inputMode !== "decimal") continue;
      input.dataset.pad = "yes";
      input.inputMode = "none"; // the device's own stays away
    }
    document.addEventListener("focusin", (event) => { if (isNumber(event.target) && event.target.dataset.pad === "yes") show(event.target); });
    document.addEventListener("focusout", (event) => { if (event.target === field) away(); });
    if (isNumber(document.activeElement)) show(document.activeElement);
  }

  if (coarse.matches && document.querySelector("form[data-log]")) begin();
}
