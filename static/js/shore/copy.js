// A link that is shown once gets a button that copies it; without script it can be marked and copied by hand.

for (const input of document.querySelectorAll("[data-copy]")) {
  const button = document.createElement("button");
  const said = document.createElement("span");
  button.type = "button";
  button.textContent = "Copy the link";
  said.setAttribute("role", "status");
  const row = document.createElement("div");
  row.className = "copy-row";
  row.append(button, said);
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
