// Reading a QR code with the camera, where the browser can.

interface Detector {
  detect(image: CanvasImageSource): Promise<readonly { readonly rawValue: string }[]>;
}

declare global {
  var BarcodeDetector: { new (options: { formats: string[] }): Detector; getSupportedFormats(): Promise<readonly string[]> } | undefined;
}

/** Whether this browser reads QR codes: some know the word only. */
export async function canScan(): Promise<boolean> {
  if (!globalThis.BarcodeDetector || !navigator.mediaDevices?.getUserMedia) return false;
  return (await globalThis.BarcodeDetector.getSupportedFormats().catch((): readonly string[] => [])).includes("qr_code");
}

/**
 * Shows the camera in video and gives what it reads to taken, until that says yes; the
 * returned function stops.
 */
export async function scan(video: HTMLVideoElement, taken: (text: string) => boolean): Promise<() => void> {
  const detector = new globalThis.BarcodeDetector!({ formats: ["qr_code"] });
  const stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
  video.srcObject = stream;
  await video.play();
  let on = true;
  const stop = () => {
    on = false;
    stream.getTracks().forEach((track) => track.stop());
  };
  const look = async () => {
    while (on) {
      const codes = await detector.detect(video).catch(() => []);
      if (on && codes.some((code) => taken(code.rawValue))) stop();
      await new Promise((wake) => setTimeout(wake, 250));
    }
  };
  void look();
  return stop;
}
