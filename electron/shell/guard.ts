import { app, shell, type Session, type WebContents } from "electron";
import { isAllowedLink } from "./links.ts";
import { isOurs } from "./scheme.ts";

/** Denies every permission but the camera's picture for our own page. */
export function guardPermissions(session: Session): void {
  session.setPermissionRequestHandler((_contents, permission, answer, details) => {
    const onlyPicture = "mediaTypes" in details && details.mediaTypes?.every((type) => type === "video") === true;
    answer(permission === "media" && onlyPicture && isOurs(details.requestingUrl));
  });
  session.setPermissionCheckHandler((_contents, permission, origin, details) => permission === "media" && details.mediaType === "video" && isOurs(origin));
  session.setDevicePermissionHandler(() => false);
}

/** No page but ours, no second window, no embedded one; links on the list go to the system's browser. */
export function guardContents(): void {
  app.on("web-contents-created", (_event, contents: WebContents) => {
    contents.on("will-attach-webview", (event) => event.preventDefault());
    contents.on("will-navigate", (event) => {
      if (!isOurs(event.url)) event.preventDefault();
    });
    contents.on("will-redirect", (event) => {
      if (!isOurs(event.url)) event.preventDefault();
    });
    contents.setWindowOpenHandler(({ url }) => {
      if (isAllowedLink(url)) void shell.openExternal(url);
      return { action: "deny" };
    });
  });
}
