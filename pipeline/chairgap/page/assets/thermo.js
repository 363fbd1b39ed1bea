// Gibbs energies at any temperature: the same equations as chairgap/compare/thermochemistry.py (quasi-harmonic)
// and chairgap/compare/populations.py, which say where they come from.

const constants = JSON.parse(document.getElementById("constants").textContent);

function gibbsOf(conformer, temperatureK) {
  const rt = constants.gas_constant_kcal_mol_k * temperatureK;
  let gibbs = conformer.energy_kcal_mol;
  for (const frequency of conformer.frequencies_cm1) {
    // (1) G = h nu / 2 + RT ln(1 - exp(-h nu / RT)), no frequency below the limit for low modes
    const quantum = Math.max(frequency, constants.low_mode_cm1) * constants.kcal_mol_per_cm1;
    gibbs += 0.5 * quantum + rt * Math.log1p(-Math.exp(-quantum / rt));
  }
  // (2) G = -RT ln q_rot, and q_rot grows as T^(3/2)
  return gibbs - rt * (conformer.ln_q_rot_1k + 1.5 * Math.log(temperatureK));
}

// -RT ln sum_i g_i exp(-G_i / RT); null when no member counts
function ensembleOf(gibbs, degeneracy, temperatureK) {
  const members = gibbs.map((energy, at) => [energy, degeneracy[at]]).filter(([, count]) => count > 0);
  if (!members.length) {
    return null;
  }
  const rt = constants.gas_constant_kcal_mol_k * temperatureK;
  const floor = Math.min(...members.map(([energy]) => energy));
  const sum = members.reduce((total, [energy, count]) => total + count * Math.exp(-(energy - floor) / rt), 0);
  return floor - rt * Math.log(sum);
}

function sharesOf(energies, temperatureK) {
  const floor = Math.min(...energies.filter((energy) => energy !== null));
  const rt = constants.gas_constant_kcal_mol_k * temperatureK;
  const weights = energies.map((energy) => (energy === null ? 0 : Math.exp(-(energy - floor) / rt)));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return weights.map((weight) => weight / total);
}

function atTemperature(conformers, temperatureK) {
  if (!conformers.length) {
    return null;
  }
  const gibbs = conformers.map((conformer) => gibbsOf(conformer, temperatureK));
  const sums = [0, 1, 2].map((side) =>
    ensembleOf(gibbs, conformers.map((conformer) => conformer.degeneracy[side]), temperatureK));
  const [a, b, other] = sharesOf(sums, temperatureK);
  return {
    gibbs: sums[0] === null || sums[1] === null ? null : sums[1] - sums[0],
    constant: b > 0 ? a / b : null,
    share_a: a,
    share_b: b,
    share_other: other,
  };
}
