/** All gamepads that the browser shows. A page inside another one may be forbidden to ask. */
export function gamepadsNow(): readonly Gamepad[] {
  try {
    return navigator.getGamepads().filter((pad) => pad !== null)
  } catch {
    return []
  }
}
