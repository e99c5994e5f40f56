// Keeps the screen on during a walk, as far as the phone lets us. It may refuse, and drops
// the lock whenever the page is hidden, so it is asked again at every return and never
// taken for granted.

export type Wakefulness = "awake" | "may-sleep";

export function keepAwake(told: (now: Wakefulness) => void): () => void {
  let lock: WakeLockSentinel | null = null;
  let wanted = true;
  const ask = async () => {
    if (document.visibilityState !== "visible" || (lock && !lock.released)) return;
    try {
      const got = await navigator.wakeLock.request("screen"); // absent on plain HTTP: throws too
      if (!wanted) return void got.release();
      lock = got;
      lock.addEventListener("release", () => wanted && told("may-sleep"));
      told("awake");
    } catch {
      if (wanted) told("may-sleep");
    }
  };
  const returned = () => void ask();
  document.addEventListener("visibilitychange", returned);
  void ask();
  return () => {
    wanted = false;
    document.removeEventListener("visibilitychange", returned);
    void lock?.release();
  };
}
