// What scripts add to pages that work without them: the scale and glass that
// were used last.
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

for (const field of document.querySelectorAll("[data-remember]")) remembered(field);
