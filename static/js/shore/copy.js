// A link that is shown once gets a button that copies it and a button that shares it with other apps.
// Without script it can be selected and copied by hand.

/** @type {NodeListOf<HTMLInputElement>} */
const links = document.querySelectorAll("[data-copy]");

for (const input of links) {
  const button = document.createElement("button");
  const outcome = document.createElement("span");
  button.type = "button";
  button.textContent = "Copy the link";
  outcome.setAttribute("role", "status");
  const row = document.createElement("div");
  row.className = "copy-row";
  row.append(button);
  if (navigator.share) row.append(sender(input));
  row.append(outcome);
  input.after(row);
  button.addEventListener("click", async () => {
    try {
      await navigator.clipboard.writeText(input.value);
      outcome.textContent = "Copied.";
    } catch {
      input.select(); // writing to the clipboard is not allowed: select the link, the person copies it
      outcome.textContent = "Selected: copy it now.";
    }
  });
}

function sender(input) {
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = "Send the link";
  // closing the share dialog is no error
  button.addEventListener("click", () => navigator.share({ url: input.value }).catch(() => {}));
  return button;
}
