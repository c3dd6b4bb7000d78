// The page that shows when there is no signal: rounds that are carried, and a
// short form for any vessel.
"use strict";

{
  const waitingVessels = async () => new Set((await outbox.looks()).map((item) => item.body.vessel));

  function link(address, text, className) {
    return Object.assign(document.createElement("a"), { href: address, textContent: text, className });
  }

  // next is the first open stop of a round on this device.
  async function next(round) {
    const sheet = await outbox.sheet(round), waiting = await waitingVessels();
    return sheet && sheet.stops.find((stop) => stop.status === "open" && !waiting.has(stop.vessel));
  }

  const form = (round, vessel) => "/v/" + encodeURIComponent(vessel) + "/log/sample?round=" + round;

  async function showRounds() {
    const list = document.getElementById("carried");
    for (const key of await outbox.sheetKeys()) {
      if (key === "vessels") continue;
      const sheet = await outbox.sheet(key), stop = await next(key);
      const row = document.createElement("li");
      row.append(link("/rounds/" + key, sheet.name, "button second"), " ");
      if (stop) row.append(link(form(key, stop.vessel), "Walk on: " + stop.vessel, "button"));
      list.append(row);
    }
    document.getElementById("none-carried").hidden = list.children.length > 0;
  }

  async function showVessels() {
    const sheet = await outbox.sheet("vessels"), choice = document.getElementById("vessel");
    const target = document.querySelector("form[data-log]");
    for (const stop of sheet ? sheet.stops : []) {
      if (stop.status !== "open") continue;
      const option = Object.assign(document.createElement("option"), { value: stop.vessel, textContent: stop.vessel + (stop.place ? ", " + stop.place : "") });
      option.dataset.strength = stop.strength_pct;
      option.dataset.sd = stop.strength_sd;
      option.dataset.words = "Expected " + stop.strength_pct.toFixed(1) + " ± " + stop.strength_sd.toFixed(1) + " % vol, " + stop.volume_l.toFixed(2) + " L." + (stop.sampled_on ? " Last sampled on " + stop.sampled_on + "." : "");
      choice.append(option);
    }
    const asked = location.pathname.match(/^\/v\/([^/]+)/i);
    if (asked) choice.value = decodeURIComponent(asked[1]).toUpperCase();
    document.getElementById("sources").replaceChildren(...Array.from(choice.options, (option) => Object.assign(document.createElement("option"), { value: option.value })));
    const show = () => {
      const option = choice.selectedOptions[0];
      if (!option) return;
      target.dataset.strength = option.dataset.strength || "";
      target.dataset.strengthSd = option.dataset.sd || "";
      document.getElementById("expected").textContent = option.dataset.words || "";
    };
    choice.addEventListener("change", show);
    show();
  }

  // fitted shows the fields of the kind of entry that is written, and leaves the others out of it.
  function fitted() {
    const what = document.getElementById("entry"), asked = location.pathname.match(/\/log\/([a-z_]+)$/);
    if (asked && Array.from(what.options).some((option) => option.value === asked[1])) what.value = asked[1];
    const fit = () => {
      for (const part of document.querySelectorAll("[data-of]")) {
        part.hidden = !part.dataset.of.split(" ").includes(what.value);
        for (const field of part.querySelectorAll("input, select")) field.disabled = Boolean(field.closest("[data-of][hidden]"));
      }
    };
    what.addEventListener("change", fit);
    fit();
  }

  async function begin() {
    const walking = location.pathname.match(/^\/rounds\/([^/]+)\/next$/);
    const stop = walking && (await next(walking[1]));
    if (stop) { location.replace(form(walking[1], stop.vessel)); return; }
    fitted();
    await showRounds();
    await showVessels();
  }

  if (self.indexedDB) begin();
}
