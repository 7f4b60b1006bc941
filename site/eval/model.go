package eval

import (
	"errors"
	"fmt"
	"go/ast"
	"strings"

	"turnplate/sim"
	"turnplate/site/model"
	"turnplate/site/value"
)

// cautioned are the models and figures that give what somebody may set or trust their safety to.
var cautioned = map[string]bool{"AlignTo": true, "JointLoads": true, "JointAngles": true, "TyreLoad": true, "Card": true, "Fitting": true, "Sheet": true}

// model runs a model once for each combination over which its inputs really vary.
func (s *scope) model(e *ast.CompositeLit, m sim.Model, in *value.Record) value.Value {
	job, err := model.NewJob(m, in)
	if err != nil {
		return s.fault(e, "", "%s", err)
	}
	s.page.Cautions = s.page.Cautions || cautioned[m.Name]
	if s.budget.taken.Numbers+job.Numbers() > s.budget.limits.Notebook.Numbers {
		return s.fault(e, "fewer points or draws", "%s would run %d times and give %d numbers, which is more than this notebook has left", m.Name, job.Combinations, job.Numbers())
	}
	if job.Numbers() > s.budget.limits.Share.Numbers {
		s.wait()
	}
	o := model.Options{
		Workers: s.ev.options.Workers, Cache: s.ev.options.Cache, Time: s.budget.limits.Notebook.Time - s.budget.taken.Time,
		Place: fmt.Sprintf("%s:%d %s", s.nb.File, s.text.Line(e), m.Name),
	}
	if s.nb.Front.Yours == "" { // the form is made from that one
		o.Hurry = s.ev.options.Hurry
	}
	err = job.Run(s.ctx, o)
	if s.ctx.Err() != nil || !s.take(e, amounts{Time: job.Spent}) {
		return value.Broken{}
	}
	if errors.Is(err, model.ErrLater) {
		s.page.Later = true
		return value.Broken{}
	}
	if err != nil {
		if s.cannotBe(in) {
			return value.Broken{} // the mistake stands where the vehicle was written, not here
		}
		for _, name := range value.SortedNames(in.Fields) {
			if car := model.Whole(in.Fields[name]); car != nil {
				s.suspectJoint(car)
			}
		}
		return s.fault(inputAt(e, err), "", "%s", err)
	}
	return job.Record(s.naming.axis, s.currency)
}

// inputAt gives the input of a model that an error begins with, where it is written in the literal; else all of it.
func inputAt(e *ast.CompositeLit, err error) ast.Node {
	var no model.NoValue
	if errors.As(err, &no) {
		name := strings.FieldsFunc(no.Reason+".", func(r rune) bool { return r == ' ' || r == '.' || r == '[' })[0]
		for _, elt := range e.Elts {
			if kv, ok := elt.(*ast.KeyValueExpr); ok {
				if key, ok := kv.Key.(*ast.Ident); ok && key.Name == name {
					return kv
				}
			}
		}
	}
	return e
}
