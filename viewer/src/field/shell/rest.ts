// The screens that are not needed at the start, loaded together: a few large files open sooner on
// an old phone, and are kept more surely, than sixty small ones.

export { Settle } from "../item/settle.tsx";
export { ChooseLine } from "../line/choose.tsx";
export { ChooseForPhoto } from "../photo/choose.tsx";
export { Photo } from "../photo/photo.tsx";
export { Camera } from "../photo/camera.tsx";
export { View } from "../photo/view.tsx";
export { Visits } from "../visit/duelist.tsx";
export { Visit } from "../visit/visit.tsx";
export { Books, PegBooks } from "../levelbook/books.tsx";
export { Level } from "../levelbook/level.tsx";
export { PegTasks } from "../setout/tasks.tsx";
export { DamScreen } from "../setout/damscreen.tsx";
export { ContourScreen } from "../setout/contourscreen.tsx";
export { WhoaBoyScreen } from "../setout/whoaboyscreen.tsx";
export { SpacingScreen } from "../setout/spacingscreen.tsx";
export { LocalTableScreen } from "../setout/localtablescreen.tsx";
export { PlanScreen } from "../plan/plan.tsx";
export { OrderScreen } from "../plan/order.tsx";
export { FollowUpScreen } from "../visit/followup.tsx";
export { Handover } from "../handover/handover.tsx";
