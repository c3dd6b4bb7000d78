// Codes as the store writes them: the same rules as in the program. A code of
// the store's own form is digit, letter, digit, dash, letter, digit and so on,
// with a check character at its end (ISO/IEC 7064, MOD 37,36).
"use strict";

const codes = (() => {
  const alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

  function checkCharacter(text) {
    let product = 36;
    for (const c of text) product = (((product + alphabet.indexOf(c)) % 36 || 36) * 2) % 37;
    return alphabet[(37 - product) % 36];
  }

  // ownForm takes off the dash of what may be a code of the store's own form.
  function ownForm(text) {
    let s = text.toUpperCase();
    if (s[3] === "-") s = s.slice(0, 3) + s.slice(4);
    if (s.length < 6 || s.length > 20 || s.length % 2 !== 0) return null;
    return /^([0-9][A-Z])*[0-9][0-9A-Z]$/.test(s) ? s : null;
  }

  // parse reads a vessel's code: {code, own} or {problem}.
  function parse(text) {
    const s = text.trim(), bare = ownForm(s);
    if (bare) {
      if (checkCharacter(bare.slice(0, -1)) !== bare[bare.length - 1]) {
        return { own: true, problem: "the last character does not fit the others: look at the label again" };
      }
      return { own: true, code: bare.slice(0, 3) + "-" + bare.slice(3) };
    }
    const known = /^[-_./ ]*[\p{L}\p{Nd}][\p{L}\p{Nd}\p{M}\-_./ ]*$/u;
    if ([...s].length > 40 || !known.test(s)) return { own: false, problem: "that is no code" };
    return { own: false, code: s };
  }

  // scan reads what a camera gave: the address of a label on any server, or a
  // vessel's bare code. It gives {thing, code} or null.
  function scan(text) {
    const s = text.trim();
    if (s.length > 2000) return null;
    if (!s.includes("://")) {
      const { code } = parse(s);
      return code ? { thing: "V", code } : null;
    }
    let path;
    try {
      const address = new URL(s);
      if (address.protocol !== "https:" && address.protocol !== "http:") return null;
      path = address.pathname.split("/").filter((part, i, all) => part || (i > 0 && i < all.length - 1));
    } catch { return null; }
    if (path.length < 2) return null;
    const thing = path[path.length - 2].toUpperCase();
    let code;
    try { code = decodeURIComponent(path[path.length - 1]); } catch { return null; }
    if (!["V", "B", "L", "S"].includes(thing) || code.trim() === "" || [...code].length > 60 || /[\u0000-\u001f\u007f-\u009f]/.test(code)) return null;
    if (thing !== "V") return { thing, code };
    const vessel = parse(code);
    return vessel.code ? { thing, code: vessel.code } : null;
  }

  // bare is a code without case, dashes and spaces, to look for a part of it.
  const bare = (text) => text.toUpperCase().replace(/[-\s]/g, "");

  const pageOf = (found) => "/" + found.thing.toLowerCase() + "/" + encodeURIComponent(found.code);

  return { checkCharacter, parse, scan, bare, pageOf };
})();
