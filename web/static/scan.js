// Reads labels with the camera, and finds vessels by a part of their code.
"use strict";

{
  const box = document.getElementById("camera"), video = document.getElementById("seen"), said = document.getElementById("camera-says");
  const start = document.getElementById("start"), torch = document.getElementById("torch");
  const typed = document.getElementById("code"), check = document.getElementById("check"), found = document.getElementById("found");
  const round = new URLSearchParams(location.search).get("round");
  const widest = 800; // pixels to look at: enough for a label at arm's length
  const between = 120; // ms between two looks, so that the phone stays cool
  let track = null, detector = null, stops = null;

  // open goes to the page of what was read; on a round, to the vessel's form.
  async function open(thing) {
    const sheet = round && self.indexedDB ? await outbox.sheet(round) : null;
    const onRound = sheet && thing.thing === "V" && sheet.stops.some((stop) => stop.vessel === thing.code && stop.status === "open");
    location.assign(onRound ? codes.pageOf(thing) + "/log/sample?round=" + round : codes.pageOf(thing));
  }

  async function decode(canvas, context) {
    if (detector) {
      const seen = await detector.detect(canvas).catch(() => []);
      return seen.length ? seen[0].rawValue : "";
    }
    const picture = context.getImageData(0, 0, canvas.width, canvas.height);
    const seen = jsQR(picture.data, picture.width, picture.height, { inversionAttempts: "dontInvert" });
    return seen ? seen.data : "";
  }

  async function look(canvas, context) {
    if (!track) return;
    if (video.videoWidth) {
      const scale = Math.min(1, widest / video.videoWidth);
      canvas.width = Math.round(video.videoWidth * scale);
      canvas.height = Math.round(video.videoHeight * scale);
      context.drawImage(video, 0, 0, canvas.width, canvas.height);
      const text = await decode(canvas, context), thing = text && codes.scan(text);
      if (thing) {
        said.textContent = "Read: " + thing.code;
        stop();
        open(thing);
        return;
      }
      if (text) said.textContent = "A code, but none of a label of this store: " + text.slice(0, 60);
    }
    setTimeout(() => look(canvas, context), between);
  }

  function stop() {
    if (track) track.stop();
    track = null;
    box.hidden = true;
    start.hidden = false;
  }

  async function begin() {
    try {
      const stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment", width: { ideal: 1280 } }, audio: false });
      track = stream.getVideoTracks()[0];
      video.srcObject = stream;
      await video.play();
    } catch (problem) {
      said.textContent = problem.name === "NotAllowedError" ? "The camera is not allowed for this page: allow it in the browser, or type the code." : "There is no camera to be had: type the code.";
      return;
    }
    box.hidden = false;
    start.hidden = true;
    said.textContent = "Hold the label before the camera.";
    torch.hidden = !(track.getCapabilities && track.getCapabilities().torch);
    const canvas = document.createElement("canvas");
    look(canvas, canvas.getContext("2d", { willReadFrequently: true }));
  }

  async function prepare() {
    if (self.BarcodeDetector && (await BarcodeDetector.getSupportedFormats().catch(() => [])).includes("qr_code")) {
      detector = new BarcodeDetector({ formats: ["qr_code"] });
    }
    if (!self.isSecureContext || !navigator.mediaDevices) {
      said.replaceChildren("The camera in the page needs a secure address (https). The phone's own camera reads labels all the same, and a code can be typed. ",
        Object.assign(document.createElement("a"), { href: "/phone", textContent: "How to make it secure" }));
      return;
    }
    start.hidden = false;
    start.addEventListener("click", begin);
    torch.addEventListener("click", () => {
      const lit = torch.getAttribute("aria-pressed") !== "true";
      track.applyConstraints({ advanced: [{ torch: lit }] }).then(() => torch.setAttribute("aria-pressed", lit), () => {});
    });
    addEventListener("pagehide", stop);
    begin();
  }

  async function vessels() {
    try {
      const response = await fetch("/api/vessels");
      if (response.ok) {
        const sheet = await response.json();
        if (self.indexedDB) await outbox.keepSheet("vessels", sheet);
        return sheet.stops;
      }
    } catch { /* what is on this device serves */ }
    const kept = self.indexedDB ? await outbox.sheet("vessels") : null;
    return kept ? kept.stops : [];
  }

  async function suggest() {
    stops ||= await vessels();
    const text = typed.value.trim(); // as it is by now
    const read = codes.parse(text), part = codes.bare(text);
    const matches = part ? stops.filter((stop) => codes.bare(stop.vessel).includes(part)) : [];
    check.textContent = "";
    check.className = "";
    if (read.own && read.problem) {
      check.textContent = "It does not fit: " + read.problem + ".";
      check.className = "fits-not";
    } else if (read.own) {
      const known = stops.some((stop) => stop.vessel === read.code);
      check.textContent = known ? "It fits: " + read.code : "It is a sound code, but no vessel of this store has it.";
      check.className = known ? "fits" : "fits-not";
    } else if (part) {
      check.textContent = matches.length === 1 ? "One vessel" : matches.length + " vessels";
    }
    const most = 8;
    found.replaceChildren(...matches.slice(0, most).map((stop) => {
      const link = Object.assign(document.createElement("a"), { href: "/v/" + encodeURIComponent(stop.vessel), textContent: stop.vessel + (stop.place ? ", " + stop.place : "") + ", " + stop.kind });
      return Object.assign(document.createElement("li"), {}, {}).appendChild(link).parentNode;
    }));
  }

  typed.addEventListener("input", suggest);
  prepare();
}
