/** Strips of one ink. */
export default function StripsPage({ ink }: { readonly ink: number }) {
  return <p className="page-loading">Strips of ink {ink}</p>;
}
