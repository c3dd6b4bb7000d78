// From a form to an entry as the store takes it: a sample, a draw, a top-up, a note.
"use strict";

const entries = (() => {
  const numbers = ["temp_c", "residue", "gross_kg", "volume_l", "dip_cm", "ullage_cm", "level_cm", "meter_l", "jug_l", "jug_times", "jug_last_l"];
  const texts = ["from", "instrument", "thermometer", "balance", "note"];

  function textOf(form, name) {
    const field = form.elements[name];
    return field && !field.disabled ? String(field.value).trim() : "";
  }

  // numberOf gives undefined for a blank field and throws for what is no number.
  function numberOf(form, name) {
    const text = textOf(form, name);
    if (text === "") return undefined;
    if (!/^[-−+]?(\d+\.?\d*|\.\d+)$/.test(text)) {
      const label = form.querySelector('label[for="' + name + '"]');
      throw new Error((label ? label.textContent : name) + ": “" + text + "” is not a number: type one such as 46.2");
    }
    return Number(text.replace("−", "-"));
  }

  function strengthOf(form, entry) {
    const value = numberOf(form, "strength"), scale = textOf(form, "scale");
    if (value === undefined) return;
    if (scale === "" || scale === "corrected") { entry.strength_pct = value; return; }
    entry.reading_pct = value;
    entry.scale = scale;
    const glass = textOf(form, "glass_c");
    if (glass !== "") entry.glass_c = Number(glass);
  }

  function sensesOf(form) {
    const senses = {};
    const colour = [textOf(form, "colour"), textOf(form, "colour_words")].filter(Boolean).join(", ");
    if (colour) senses.colour = colour;
    for (const name of ["nose", "palate"]) if (textOf(form, name)) senses[name] = textOf(form, name);
    for (const i of [0, 1]) {
      const word = textOf(form, "word_" + i).toLowerCase(), score = numberOf(form, "score_" + i);
      if (word && score !== undefined) (senses.scores ||= {})[word] = score;
    }
    return Object.keys(senses).length ? senses : undefined;
  }

  // stamp writes a moment with the offset of this device, as people mean it.
  function stamp(date) {
    const two = (n) => String(Math.floor(Math.abs(n))).padStart(2, "0");
    const east = -date.getTimezoneOffset();
    return date.getFullYear() + "-" + two(date.getMonth() + 1) + "-" + two(date.getDate()) + "T" + two(date.getHours()) + ":" + two(date.getMinutes()) +
      ":" + two(date.getSeconds()) + (east < 0 ? "-" : "+") + two(east / 60) + ":" + two(east % 60);
  }

  function of(form) {
    const entry = { entry: form.dataset.entry || textOf(form, "entry") || "sample", vessel: form.dataset.vessel || textOf(form, "vessel") };
    for (const name of numbers) {
      const value = numberOf(form, name);
      if (value !== undefined) entry[name] = value;
    }
    for (const name of texts) if (textOf(form, name)) entry[name] = textOf(form, name);
    strengthOf(form, entry);
    const drawn = numberOf(form, "drawn_ml");
    if (drawn !== undefined) entry.drawn_l = drawn / 1000;
    const senses = sensesOf(form);
    if (senses) entry.senses = senses;
    const when = textOf(form, "when");
    if (when) entry.when = stamp(new Date(when));
    return entry;
  }

  const kinds = { sample: "Sample of", draw: "Draw from", spill: "Spill from", top_up: "Top up", note: "Note on", round_skip: "Skip" };

  // told says in a line what an entry is, for lists.
  function told(entry) {
    const parts = [(kinds[entry.entry] || entry.entry) + " " + entry.vessel];
    if (entry.from) parts.push("from " + entry.from);
    if (entry.strength_pct !== undefined) parts.push(entry.strength_pct + " % vol");
    if (entry.reading_pct !== undefined) parts.push("reading " + entry.reading_pct + (entry.temp_c === undefined ? "" : " at " + entry.temp_c + " °C"));
    if (entry.gross_kg !== undefined) parts.push(entry.gross_kg + " kg");
    if (entry.volume_l !== undefined) parts.push(entry.volume_l + " L");
    if (entry.drawn_l !== undefined) parts.push("took " + Math.round(entry.drawn_l * 1000) + " mL");
    if (entry.senses) parts.push("tasted");
    if (entry.note) parts.push(entry.note);
    return parts.join(", ");
  }

  return { of, told, stamp };
})();
