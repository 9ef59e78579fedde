// The greys of light: the lighter, the better; and the elements of a drawing.

const SPACE = "http://www.w3.org/2000/svg";
// Lowest light in per cent and its grey, as in every picture of the project.
export const SHADES = [[95, "#ffffff"], [75, "#cccccc"], [50, "#a2a2a2"], [2, "#7d7d7d"], [0, "#5d5d5d"]];

export const shade = (percent) => SHADES.find(([least]) => percent >= least)[1];

// An element of a drawing with its attributes; texts are text.
export function svg(tag, attributes = {}, ...children) {
  const element = document.createElementNS(SPACE, tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined && value !== false) element.setAttribute(name, value);
  }
  element.append(...children.flat());
  return element;
}

// Stretches of equal shade: [first, last) in steps, with the lowest light of the shade.
export function stretches(light) {
  const found = [];
  light.forEach((value, at) => {
    const grey = shade(value);
    const last = found.at(-1);
    if (last && last.grey === grey) last.to = at + 1;
    else found.push({ from: at, to: at + 1, grey });
  });
  return found;
}
