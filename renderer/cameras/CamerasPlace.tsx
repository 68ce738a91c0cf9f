import { lazy } from "react";
import { useWhere } from "../frame/useHash.ts";
import { NewProfile } from "./NewProfile.tsx";
import { ProfileList } from "./ProfileList.tsx";
import { ProfilePage } from "./ProfilePage.tsx";
import "./cameras.css";

const GaugePage = lazy(() => import("../gauge/GaugePage.tsx"));

/** Cameras: the list of profiles, making one, the profile that the address names, or the gauge study. */
export default function CamerasPlace() {
  const { rest: [first, kind] } = useWhere();
  if (first === undefined) return <ProfileList />;
  if (first === "gauge") return <GaugePage />;
  if (first === "new") return <NewProfile key={kind} kind={kind === "scanner" ? "scanner" : "camera"} />;
  return <ProfilePage key={first} id={first} />;
}
