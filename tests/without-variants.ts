/**
 * Paths of scenarios without the demo's variants, which share its structure: its base and the widest of them, with all
 * strategies, stay. For tests that look at structure and take long.
 */
export function withoutVariants(paths: readonly string[]): readonly string[] {
  return paths.filter((path) => !path.startsWith("scenarios/harbour/") || /\/(base|all-five)\./.test(path));
}

/** The same with the widest alone. */
export function widest(paths: readonly string[]): readonly string[] {
  return withoutVariants(paths).filter((path) => path !== "scenarios/harbour/base.scenario.yaml");
}
