// Reading a QR code with the camera, where the browser can.

interface Detector {
  detect(image: CanvasImageSource): Promise<readonly { readonly rawValue: string }[]>;
}

declare global {
  var BarcodeDetector: (new (options: { formats: string[] }) => Detector) | undefined;
}

export const canScan = (): boolean => "BarcodeDetector" in globalThis && !!navigator.mediaDevices?.getUserMedia;

/** Shows the camera in video and tells the first code it sees; the returned function stops. */
export async function scan(video: HTMLVideoElement, found: (text: string) => void): Promise<() => void> {
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
      if (on && codes[0]) {
        stop();
        found(codes[0].rawValue);
      }
      await new Promise((wake) => setTimeout(wake, 250));
    }
  };
  void look();
  return stop;
}
