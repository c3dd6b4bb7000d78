// The page of what waits on this device: each entry with what became of it,
// and what can be done about it. Nothing is dropped without being asked for.
"use strict";

{
  const list = document.getElementById("entries");
  const editable = [["strength_pct", "Strength, % vol"], ["reading_pct", "Reading"], ["temp_c", "Temperature, °C"], ["gross_kg", "Gross weight, kg"],
    ["volume_l", "Volume, L"], ["dip_cm", "Dip, cm wet"], ["ullage_cm", "Ullage, cm dry"], ["level_cm", "Level, cm"], ["drawn_l", "Taken out, L"],
    ["vessel", "Vessel"], ["from", "From"], ["note", "Note"], ["when", "When"]];
  const numeric = (name) => !["vessel", "from", "note", "when"].includes(name);

  function make(name, properties, ...children) {
    const element = Object.assign(document.createElement(name), properties);
    element.append(...children);
    return element;
  }

  function button(text, className, act) {
    const made = make("button", { type: "button", className, textContent: text });
    made.addEventListener("click", act);
    return made;
  }

  async function again(item, changes) {
    const body = { ...item.body, ...changes };
    for (const name of Object.keys(body)) if (body[name] === undefined || body[name] === "") delete body[name];
    const next = { ...item, body };
    delete next.problem;
    await outbox.put(next);
    await carry.sendWaiting();
  }

  function editor(item) {
    const fields = editable.filter(([name]) => item.body[name] !== undefined || name === "note");
    const form = make("form", { className: "entry" });
    for (const [name, label] of fields) {
      const id = item.id + "-" + name;
      const input = make("input", { id, name, value: item.body[name] === undefined ? "" : String(item.body[name]) });
      if (numeric(name)) input.inputMode = "decimal";
      if (name === "when") Object.assign(input, { type: "datetime-local", value: item.body.when.slice(0, 16) });
      form.append(make("div", { className: "field" }, make("label", { htmlFor: id, textContent: label }), input));
    }
    if (item.photo || (item.problem && item.problem.field === "photo")) {
      form.append(button("Leave the photo out", "second", () => { delete item.photo; again(item, {}); }));
    }
    form.append(make("button", { textContent: "Send it so" }));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const changes = {};
      for (const [name] of fields) {
        const text = form.elements[name].value.trim();
        changes[name] = text === "" ? undefined : numeric(name) ? Number(text.replace(",", ".")) : name === "when" ? entries.stamp(new Date(text)) : text;
        if (numeric(name) && Number.isNaN(changes[name])) { form.elements[name].focus(); form.elements[name].setAttribute("aria-invalid", "true"); return; }
      }
      again(item, { ...changes, sure: undefined });
    });
    return form;
  }

  function discard(item) {
    const box = make("span", {});
    const ask = button("Discard", "quiet", () => {
      const sure = button("Discard it for good", "danger", async () => {
        await outbox.remove(item.id);
        await carry.tell();
        await show();
      });
      box.replaceChildren(sure, " ", button("Keep it", "second", () => box.replaceChildren(ask)));
      sure.focus();
    });
    box.append(ask);
    return box;
  }

  function row(item) {
    const line = make("li", {}, make("strong", { textContent: entries.told(item.body) }), make("span", { className: "said", textContent: "made here on " + item.made.slice(0, 16).replace("T", " at ") }));
    line.dataset.id = item.id;
    const actions = make("p", { className: "actions" });
    if (item.problem) {
      const asked = item.problem.questions || [];
      const text = asked.length ? asked.map((q) => q.text).join(". ") : item.problem.text;
      line.append(make("p", { className: "problem" }, make("strong", { textContent: asked.length ? "Please look again. " : "The store did not take it. " }), text));
      if (asked.length) actions.append(button("It is right, send it", "", () => again(item, { sure: true })), " ");
      actions.append(button("Try again as it is", "second again", () => again(item, {})));
    } else {
      line.append(make("p", { className: "how", textContent: "Waits for a signal. It is sent by itself." }));
    }
    const change = make("details", {}, make("summary", { className: "button second", textContent: "Change it" }), editor(item));
    actions.append(" ", discard(item));
    line.append(actions, change);
    return line;
  }

  let shown = "";
  async function show() {
    const items = await outbox.all();
    const now = JSON.stringify(items);
    if (now === shown && list.children.length === items.length) return; // what is being typed stays
    shown = now;
    list.replaceChildren(...items.map(row));
    document.getElementById("nothing").hidden = items.length > 0;
    document.getElementById("some").hidden = items.length === 0;
  }

  document.addEventListener("outbox", show);
  document.getElementById("send").addEventListener("click", () => carry.sendWaiting());
  if (self.indexedDB) show();
}
