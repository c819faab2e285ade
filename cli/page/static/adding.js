// The forms to add something to the bar. Nothing in them stands in the case before they are sent.
const forms = document.getElementById("adding-forms");

export function addingTo(group) {
  return forms.querySelector(`[data-group="${group}"]`);
}

export function hasOption(select, value) {
  return [...select.options].some((one) => one.value === value);
}

// What a person has put into them stays, with what was told of it.
export function drawAdding(html) {
  const begun = [...forms.querySelectorAll("input, select")].filter(isBegun).map(({ id, value }) => [id, value]);
  const told = [...forms.querySelectorAll(".add")].map((one) => [one.dataset.group, problemOf(one).textContent]);
  forms.innerHTML = html; // escaped by the server
  for (const [group, text] of told) problemOf(addingTo(group)).textContent = text;
  for (const [id, value] of begun) {
    const control = document.getElementById(id);
    if (control.tagName !== "SELECT" || hasOption(control, value)) control.value = value;
  }
}

function isBegun(control) {
  return control.tagName === "SELECT" ? control.selectedIndex > 0 : control.value !== control.defaultValue;
}

function problemOf(form) {
  return form.querySelector(".problem");
}
