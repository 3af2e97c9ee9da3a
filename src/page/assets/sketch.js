export async function showSketch() {}
