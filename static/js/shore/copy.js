// A link that is shown once gets a button that copies it, and one that hands it to the phone's own way of sending.
// Without script it can be marked and copied by hand.

for (const input of document.querySelectorAll("[data-copy]")) {
  const button = document.createElement("button");
  const said = document.createElement("span");
  button.type = "button";
  button.textContent = "Copy the link";
  said.setAttribute("role", "status");
  const row = document.createElement("div");
  row.className = "copy-row";
  row.append(button);
  if (navigator.share) row.append(sender(input));
  row.append(said);
  input.after(row);
  button.addEventListener("click", async () => {
    try {
      await navigator.clipboard.writeText(input.value);
      said.textContent = "Copied.";
    } catch {
      input.select(); // no leave to write to the clipboard: mark it, the person copies
      said.textContent = "Marked: copy it now.";
    }
  });
}

function sender(input) {
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = "Send the link";
  button.addEventListener("click", () => navigator.share({ url: input.value }).catch(() => {})); // closing the sheet is no fault
  return button;
}
