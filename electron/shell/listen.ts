import { ipcMain, type IpcMainInvokeEvent } from "electron";
import { type Channel, MESSAGES, type Payload } from "./messages.ts";
import { isOurs } from "./scheme.ts";

/** Listens to one channel: only to the top frame of our own page, and only to a payload of the channel's shape. */
export function listenTo<C extends Channel, Answer>(channel: C, answer: (payload: Payload<C>, event: IpcMainInvokeEvent) => Answer | Promise<Answer>): void {
  ipcMain.handle(channel, (event, payload: unknown) => {
    const frame = event.senderFrame;
    if (!frame || frame.parent !== null || !isOurs(frame.url)) throw new Error("This message comes from another page.");
    return answer(MESSAGES[channel].parse(payload) as Payload<C>, event);
  });
}
