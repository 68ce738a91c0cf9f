/** The editor of one job. */
export function JobPlace({ id, tab }: { id: string; tab: string }) {
  return <p>{id} {tab}</p>;
}
