import { Component, type ReactNode } from "react";
import { Fault } from "./Fault.tsx";

interface Props {
  readonly children: ReactNode;
  readonly again: string;
}

/** Stands where a page fell over: what happened, and the way back. The rail stays, so that every other place can be gone to. */
export class Fallen extends Component<Props, { readonly error: Error | null }> {
  override state = { error: null };

  static getDerivedStateFromError(error: Error): { error: Error } {
    return { error };
  }

  override render(): ReactNode {
    if (!this.state.error) return this.props.children;
    return (
      <div className="page">
        <Fault error={this.state.error} />
        <div className="buttons"><button type="button" className="main-button" onClick={() => location.reload()}>{this.props.again}</button></div>
      </div>
    );
  }
}
