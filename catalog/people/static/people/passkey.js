// Passkeys: a form marked data-passkey asks the device, puts its answer into the field `credential` and sends it.
// `get` shows a passkey, `create` makes one. What is asked stands in #passkey-options, else it is fetched from the form's address.

const CAN = window.isSecureContext && !!window.PublicKeyCredential && !/^[\d.]+$|:/.test(location.hostname);

const bytes = (text) => Uint8Array.from(atob(text.replaceAll("-", "+").replaceAll("_", "/")), (sign) => sign.charCodeAt(0));
const text = (buffer) => btoa(String.fromCharCode(...new Uint8Array(buffer))).replaceAll("+", "-").replaceAll("/", "_").replace(/=+$/, "");

async function asked(form) {
  const there = form.querySelector("#passkey-options");
  if (there) return JSON.parse(there.textContent).publicKey;
  const answer = await fetch(form.action, { cache: "no-store", headers: { Accept: "application/json" } });
  const said = await answer.json();
  if (said.form_token && form.elements.csrfmiddlewaretoken) form.elements.csrfmiddlewaretoken.value = said.form_token;
  return said.options.publicKey;
}

const withBytes = (key) => ({ ...key, id: bytes(key.id) });

function forDevice(options) {
  return {
    ...options,
    challenge: bytes(options.challenge),
    ...(options.user && { user: { ...options.user, id: bytes(options.user.id) } }),
    ...(options.allowCredentials && { allowCredentials: options.allowCredentials.map(withBytes) }),
    ...(options.excludeCredentials && { excludeCredentials: options.excludeCredentials.map(withBytes) }),
  };
}

function forHouse(credential) {
  const response = {};
  for (const name of ["clientDataJSON", "attestationObject", "authenticatorData", "signature", "userHandle"]) {
    if (credential.response[name]) response[name] = text(credential.response[name]);
  }
  if (credential.response.getTransports) response.transports = credential.response.getTransports();
  return {
    id: credential.id,
    rawId: text(credential.rawId),
    type: credential.type,
    response,
    authenticatorAttachment: credential.authenticatorAttachment,
    clientExtensionResults: credential.getClientExtensionResults(),
  };
}

async function ask(form) {
  const said = form.querySelector("[data-passkey-said]");
  if (said) said.textContent = "";
  try {
    const publicKey = forDevice(await asked(form));
    const credential = await navigator.credentials[form.dataset.passkey]({ publicKey });
    form.elements.credential.value = JSON.stringify(forHouse(credential));
    form.submit();
  } catch (trouble) {
    const known = trouble.name === "InvalidStateError";
    if (said) said.textContent = known ? "This device holds a passkey for you already." : "The device gave no passkey. Try it once more, or go another way.";
  }
}

for (const form of document.querySelectorAll("form[data-passkey]")) {
  form.hidden = !CAN;
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    ask(form);
  });
}
for (const note of document.querySelectorAll("[data-passkey-cannot]")) note.hidden = CAN;
