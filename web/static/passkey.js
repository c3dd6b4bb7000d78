// Passkeys: asks the device to make one, or to show one, where the browser
// lets a page do so, and says in plain words where it does not.
"use strict";

{
  const bytes = (text) => Uint8Array.from(atob(text.replaceAll("-", "+").replaceAll("_", "/")), (one) => one.charCodeAt(0));
  const text = (buffer) => btoa(String.fromCharCode(...new Uint8Array(buffer))).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
  const known = (list) => (list || []).map((one) => ({ ...one, id: bytes(one.id) }));

  async function post(address, body) {
    const response = await fetch(address, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
    const said = await response.json();
    if (!response.ok) throw new Error(said.said || said.error);
    return said;
  }

  // cannot says why there are no passkeys for this page, "" if there are.
  function cannot(place) {
    if (!self.isSecureContext) return "This page came without https, and a passkey works over https only.";
    if (!self.PublicKeyCredential) return "This browser knows no passkeys.";
    if (location.hostname !== place.dataset.host) return "Passkeys of this store work at " + place.dataset.origin + " only: open it there.";
    return "";
  }

  function why(fault) {
    switch (fault.name) {
      case "NotAllowedError": return "No passkey was shown, or it took too long. Try again.";
      case "InvalidStateError": return "This device has a passkey of yours for this store already.";
      case "SecurityError": return "The browser lets no passkey be used at this address.";
      case "TypeError": return "The store cannot be reached. Try again.";
    }
    return fault.message;
  }

  // trying runs one thing at a time and shows what went wrong with it.
  async function trying(place, button, work) {
    const problem = place.querySelector(".problem");
    button.disabled = true;
    problem.hidden = true;
    try {
      location.assign((await work()).to);
    } catch (fault) {
      problem.textContent = why(fault);
      problem.hidden = false;
      button.disabled = false;
      button.focus();
    }
  }

  async function show(place) {
    const asked = await post("/sign-in/passkey/begin", {});
    const publicKey = { ...asked, challenge: bytes(asked.challenge), allowCredentials: known(asked.allowCredentials) };
    const made = await navigator.credentials.get({ publicKey }), said = made.response;
    return post("/sign-in/passkey?next=" + encodeURIComponent(place.dataset.next), {
      id: made.id, rawId: text(made.rawId), type: made.type, clientExtensionResults: {},
      response: {
        clientDataJSON: text(said.clientDataJSON), authenticatorData: text(said.authenticatorData), signature: text(said.signature),
        userHandle: said.userHandle ? text(said.userHandle) : undefined,
      },
    });
  }

  async function make(form) {
    const asked = await post("/people/me/passkeys/begin", { name: form.elements.name.value, password: form.elements.password.value });
    const publicKey = { ...asked, challenge: bytes(asked.challenge), user: { ...asked.user, id: bytes(asked.user.id) }, excludeCredentials: known(asked.excludeCredentials) };
    const made = await navigator.credentials.create({ publicKey }), said = made.response;
    return post("/people/me/passkeys", {
      id: made.id, rawId: text(made.rawId), type: made.type, clientExtensionResults: {},
      response: { clientDataJSON: text(said.clientDataJSON), attestationObject: text(said.attestationObject) },
    });
  }

  for (const place of document.querySelectorAll("[data-host]")) {
    const said = place.querySelector("[data-cannot]"), reason = cannot(place);
    if (reason) {
      said.textContent = reason;
      continue;
    }
    said.hidden = true;
    for (const hidden of place.querySelectorAll("form, .save")) hidden.hidden = false;
    const button = place.querySelector("[data-show]"), form = place.querySelector("form");
    if (button) button.addEventListener("click", () => trying(place, button, () => show(place)));
    if (form) {
      form.addEventListener("submit", (event) => {
        event.preventDefault();
        trying(place, form.querySelector("button"), () => make(form));
      });
    }
  }
}
