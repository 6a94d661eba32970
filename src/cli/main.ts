/** Placeholder until the commands are wired. */
export async function main(_args: readonly string[]): Promise<void> {}
