import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import type { FetchDemo } from '../../shelf/demo.ts'
import { t } from './capture-texts.ts'

/** The museum's capture, under the demo folder. */
const PATH = 'captures/copper-kite-rally.vcd'

/** Fetches it as a file that the user might have had. */
export async function fetchDemoCapture(fetchDemo: FetchDemo): Promise<Result<File, string>> {
  const bytes = await fetchDemo(PATH)
  return bytes === null ? err(t.demoFault) : ok(new File([bytes.slice()], PATH.replace(/^.*\//, '')))
}
