// The worker in which the backup is written.

import { answering, type BackupQuestion } from "./backupanswers.ts";

const answer = answering(
  (answer) => self.postMessage(answer),
  () => self.close(),
);

self.onmessage = ({ data }: MessageEvent<BackupQuestion>) => answer(data);
