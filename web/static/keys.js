// Keys for the stock table: / finds, n and p turn the page, j and k walk the list.
"use strict";

const rowLinks = () => [...document.querySelectorAll("#stock tbody th a")];

function walk(step) {
  const links = rowLinks();
  const at = links.indexOf(document.activeElement);
  const next = links[Math.min(links.length - 1, Math.max(0, at + step))];
  if (next) next.focus();
}

document.addEventListener("keydown", (event) => {
  const typing = event.target.closest("input, select, textarea");
  if (typing || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key === "j" || event.key === "k") { walk(event.key === "j" ? 1 : -1); return; }
  const wanted = [...document.querySelectorAll("[data-key]")].find((e) => e.dataset.key === event.key);
  if (!wanted) return;
  event.preventDefault();
  if (wanted.tagName === "A") wanted.click(); else wanted.focus();
});
