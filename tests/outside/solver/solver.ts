import { init, killThreads, Z3_lbool } from 'z3-solver'
import { NO, YES } from './problem.ts'
import type { Formula, Problem } from './problem.ts'

/** Z3 (MIT licence, from the registry): a solver for formulas over whole numbers that shares nothing with the bench. */
export class Solver {
  private constructor(private readonly z3: Awaited<ReturnType<typeof init>>) {}

  static async start(): Promise<Solver> {
    return new Solver(await init())
  }

  stop(): Promise<void> {
    return Promise.resolve(killThreads(this.z3.em))
  }

  /** Puts questions about one problem, each for itself. @returns what `ask` makes of the answers */
  async about<T>(
    problem: Problem,
    ask: (isPossible: (question: Formula) => Promise<boolean>) => Promise<T>,
  ): Promise<T> {
    const { Z3 } = this.z3
    const context = Z3.mk_context(Z3.mk_config())
    const one = Z3.mk_simple_solver(context)
    Z3.solver_inc_ref(context, one)
    // The text is read at once; a call that is answered later would find other text in its place.
    Z3.solver_from_string(context, one, problem.text)
    const answer = await ask(async (question) => {
      if (question === NO) return false
      const name = Z3.mk_string_symbol(context, question)
      const asked = question === YES ? [] : [Z3.mk_const(context, name, Z3.mk_bool_sort(context))]
      const found = await Z3.solver_check_assumptions(context, one, asked)
      if (found === Z3_lbool.Z3_L_UNDEF) throw new Error(Z3.solver_get_reason_unknown(context, one))
      return found === Z3_lbool.Z3_L_TRUE
    })
    Z3.solver_dec_ref(context, one)
    Z3.del_context(context)
    return answer
  }
}
