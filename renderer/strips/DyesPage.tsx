/** Dyes of all inks. */
export default function DyesPage() {
  return <p className="page-loading">Dyes</p>;
}
