// What the page uses of fflate; everything else is left out of the bundle.
export { strFromU8, unzlibSync } from "fflate";
