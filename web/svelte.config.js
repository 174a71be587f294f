/** Svelte reads types out of the scripts by itself; no preprocessor is needed. */
export default { compilerOptions: { runes: true } };
