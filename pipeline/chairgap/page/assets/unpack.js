// Packed content of the page: JSON, deflated, in base64. Unpacked once, when it is first asked for.

const unpacked = new Map();

async function unpack(element) {
  if (!unpacked.has(element)) {
    unpacked.set(element, inflate(JSON.parse(element.textContent)));
  }
  return unpacked.get(element);
}

async function inflate(base64) {
  const letters = atob(base64);
  const bytes = new Uint8Array(letters.length);
  for (let at = 0; at < letters.length; at += 1) {
    bytes[at] = letters.charCodeAt(at);
  }
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
  return JSON.parse(await new Response(stream).text());
}

const sections = () => [...document.querySelectorAll("section.molecule")];
const numbersOf = (section) => unpack(section.querySelector("script.numbers"));
const detailsOf = (section) => unpack(section.querySelector("script.details"));
