// A link or code that is shown once gets a button that copies it, a link one that shares it with other apps too.
// Without script it can be selected and copied by hand.

/** @type {NodeListOf<HTMLInputElement>} */
const links = document.querySelectorAll("[data-copy]");

for (const input of links) {
  const isLink = input.value.startsWith("http");
  const button = document.createElement("button");
  const outcome = document.createElement("span");
  button.type = "button";
  button.textContent = isLink ? "Copy the link" : "Copy the code";
  outcome.setAttribute("role", "status");
  const row = document.createElement("div");
  row.className = "copy-row";
  row.append(button);
  if (isLink && navigator.share) row.append(sender(input));
  row.append(outcome);
  input.after(row);
  button.addEventListener("click", async () => {
    try {
      await navigator.clipboard.writeText(input.value);
      outcome.textContent = "Copied.";
    } catch {
      input.select(); // writing to the clipboard is not allowed: the person copies what is selected
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
