// What scripts add to pages that work without them: the corrected strength
// while a person types, and the scale and glass that were used last.
"use strict";

function remembered(field) {
  const key = "croze:" + field.name;
  if (field.value === field.defaultValue || field.tagName === "SELECT") {
    const kept = localStorage.getItem(key);
    const posted = field.form.querySelector(".problem, .questions");
    if (kept !== null && !posted) field.value = kept;
  }
  field.addEventListener("change", () => localStorage.setItem(key, field.value));
}

function number(form, name) {
  const field = form.elements[name];
  const text = field ? field.value.trim() : "";
  return text === "" || Number.isNaN(Number(text)) ? undefined : Number(text);
}

function entryOf(form) {
  const entry = { entry: form.dataset.preview, vessel: form.dataset.vessel, temp_c: number(form, "temp_c"),
    volume_l: number(form, "volume_l"), gross_kg: number(form, "gross_kg") };
  const scale = form.elements.scale.value;
  if (scale === "corrected") entry.strength_pct = number(form, "strength");
  else Object.assign(entry, { reading_pct: number(form, "strength"), scale });
  return entry;
}

function show(output, answer) {
  const reading = answer.fact && answer.fact.reading;
  const content = answer.fact && answer.fact.content;
  const doubts = (answer.questions || []).map((q) => q.text);
  const said = [];
  if (reading) said.push(reading.strength_pct.toFixed(1) + " % vol at 20 °C");
  if (content) said.push(content.volume_l.toFixed(2) + " L at 20 °C");
  output.textContent = answer.error || said.concat(doubts).join(". ");
  output.classList.toggle("doubtful", Boolean(answer.error || doubts.length));
}

function previewing(form) {
  const output = form.querySelector(".preview");
  if (!output || form.dataset.preview !== "sample") return;
  let latest = 0;
  form.addEventListener("input", async () => {
    const mine = ++latest;
    const entry = entryOf(form);
    if (entry.reading_pct === undefined && entry.strength_pct === undefined) { output.textContent = ""; return; }
    if (entry.reading_pct !== undefined && entry.temp_c === undefined) { output.textContent = "and its temperature"; return; }
    try {
      const answer = await fetch("/api/preview", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(entry) });
      const said = await answer.json();
      if (mine === latest) show(output, said);
    } catch { if (mine === latest) output.textContent = ""; }
  });
}

for (const field of document.querySelectorAll("[data-remember]")) remembered(field);
for (const form of document.querySelectorAll("form[data-preview]")) previewing(form);
