// Packed content of the page: JSON, deflated, in base64. Unpacked once, when it is first asked for, and at
// once: the browser's own way answers later, which is too late for a page that is about to be printed.

const unpacked = new Map();

function unpack(element) {
  if (!unpacked.has(element)) {
    const bytes = Uint8Array.from(atob(JSON.parse(element.textContent)), (letter) => letter.charCodeAt(0));
    unpacked.set(element, JSON.parse(Fflate.strFromU8(Fflate.unzlibSync(bytes))));
  }
  return unpacked.get(element);
}

const sections = () => [...document.querySelectorAll("section.molecule")];
const numbersOf = (section) => unpack(section.querySelector("script.numbers"));
const detailsOf = (section) => unpack(section.querySelector("script.details"));
